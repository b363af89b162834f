// `figure viscosity` and `figure life`.
#include "engine/base/numbers.h"
#include "engine/base/ranges.h"
#include "engine/running/life.h"
#include "engine/running/lubrication.h"
#include "engine/running/viscosity.h"
#include "field/cli/figure.h"

namespace field::cli {
namespace {

using namespace engine;

/// "40C=32" or "104F=32cSt"
Result<ViscosityPoint> known_viscosity(Options& given, const std::string& text)
{
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos)
        return failure(Fault::bad_input,
                       "--at: '" + text.substr(0, 64) +
                           "' does not say temperature and viscosity; give it like 40C=32.");
    ViscosityPoint point;
    point.at        = given.temperature_of("at", text.substr(0, equals));
    point.viscosity = given.viscosity_of("at", text.substr(equals + 1));
    if (given.trouble()) return *given.trouble();
    return point;
}

Status viscosity(Options& given, Answer& answer)
{
    const auto known = given.list("at");
    if (known.size() != 2)
        return failure(Fault::bad_input, "Give --at twice, such as --at 40C=32 --at 100C=5.4.");
    const auto one = known_viscosity(given, known[0]), other = known_viscosity(given, known[1]);
    if (!one) return one.failure();
    if (!other) return other.failure();
    const auto wanted = given.temperature("temperature");
    if (given.trouble()) return *given.trouble();
    const auto found = viscosity_at(*one, *other, wanted);
    if (!found) return found.failure();
    answer.number("mm2_s", found->viscosity.value, "mm2/s", 2);
    answer.number("a", found->a, "", 5);
    answer.number("b", found->b, "", 5);
    answer.text("source", "ASTM D341 [SCRIBD-D341]");
    if (found->extended) answer.note("The temperature lies outside the two known ones: less sure.");
    return Unit{};
}

Result<ElementKind> element_from(const std::string& name)
{
    if (name == "ball") return ElementKind::ball;
    if (name == "roller") return ElementKind::roller;
    return failure(Fault::bad_input,
                   "--kind: '" + name.substr(0, 32) + "' is not known; give ball or roller.");
}

bool is_word(const std::string& text)
{
    return !text.empty() && text.find_first_of("0123456789") == std::string::npos;
}

Failure needs(std::string_view option, std::string_view partner)
{
    return failure(Fault::bad_input,
                   "Give --" + std::string(partner) + " together with --" + std::string(option) + ".");
}

/// kappa, eC and Cu: as given, or from viscosity, cleanliness and C0 with the pitch diameter.
Status lubrication(Options& given, LifeCase& bearing, Answer& answer)
{
    const auto dpw = given.length("dpw");
    if (given.has("kappa")) bearing.kappa = given.bare("kappa");
    if (given.has("cu")) bearing.cu = given.force("cu");
    const auto nu = given.viscosity("viscosity");
    const auto c0 = given.force("c0");
    if (given.trouble()) return *given.trouble();
    if (!bearing.kappa && given.has("viscosity")) {
        if (!given.has("dpw")) return needs("viscosity", "dpw");
        const auto kappa = viscosity_ratio(nu, bearing.speed, dpw);
        if (!kappa) return kappa.failure();
        bearing.kappa = *kappa;
    }
    if (is_word(given.text("ec"))) {
        if (!given.has("dpw")) return needs("ec " + given.text("ec"), "dpw");
        const auto band = contamination_band(given.text("ec"), dpw);
        if (!band) return band.failure();
        bearing.ec = band->low;
        answer.note("eC of " + band->level + " is " + fixed(band->low, 1) + " to " + fixed(band->high, 1) +
                    " " + band->source + "; the lower end is taken.");
    } else if (given.has("ec")) {
        bearing.ec = given.bare("ec");
    }
    const bool modified = bearing.kappa && bearing.ec;
    if (modified && !bearing.cu && given.has("c0")) {
        if (!given.has("dpw")) return needs("c0", "dpw");
        const auto cu = fatigue_load_limit(bearing.kind, c0, dpw);
        if (!cu) return cu.failure();
        bearing.cu = *cu;
        answer.note("Cu from C0 by the simple rule of ISO 281; the maker's value goes first.");
    }
    return given.trouble() ? Status(*given.trouble()) : Status(Unit{});
}

Status still_standing(Options& given, const LifeCase& bearing, Answer& answer)
{
    if (!given.has("p0")) return Unit{};
    if (!given.has("c0")) return needs("p0", "c0");
    StaticLoad load;
    load.kind = bearing.kind;
    load.c0   = given.force("c0");
    load.p0   = given.force("p0");
    if (given.trouble()) return *given.trouble();
    const auto safety = static_safety(load);
    if (!safety) return safety.failure();
    answer.number("s0", safety->s0, "", 2);
    answer.number("s0_wanted", safety->wanted, "(normal running [BC-S330])", 1);
    answer.text("s0_verdict", name_of(safety->verdict));
    return Unit{};
}

void tell(const LifeCase& bearing, const LifeFigures& life, Answer& answer)
{
    answer.number("l10_mrev", life.l10_mrev, "million revolutions", 1);
    answer.number("l10h_h", life.l10h.value, "h", 0);
    if (life.a_iso)
        answer.number("a_iso", *life.a_iso, "", 3);
    else
        answer.absent("a_iso", "needs --kappa, --ec and --cu");
    answer.number("a1", life.a1, "", 3);
    if (life.lnmh)
        answer.number("lnmh_h", life.lnmh->value, "h", 0);
    else
        answer.absent("lnmh_h", "needs --kappa, --ec and --cu");
    answer.number("lnh_h", life.lnh.value, "h at this reliability, without lubrication and dirt", 0);
    if (bearing.kappa) answer.number("kappa", *bearing.kappa, "", 2);
    if (bearing.kappa && *bearing.kappa > 4) answer.note("kappa above 4 counts as 4.");
    if (bearing.kappa && *bearing.kappa < 1 && !bearing.proven_additive)
        answer.note("kappa is below 1: the film does not part the surfaces; look at oil and temperature.");
    answer.number("least_load_kn", life.least_load.value, "kN (common practice)", 3);
    if (life.too_light) {
        answer.text("warning", "load_too_light");
        const auto shown = shown_outside(bearing.p.value, life.least_load.value, 2);
        answer.note(
            "The load of " + shown.value + " kN is below the " + shown.limit +
            " kN that move the rolling elements: they slide and smear, and the life above will not be "
            "reached. The maker's least load goes first.");
    }
    answer.text("source", "ISO 281:2007 [SKF-CAT-P92] [SHIG8SM-11]; least load: common practice");
    answer.note("Life is for many bearings: at 90 % one in ten runs shorter. It presumes a good mounting.");
}

Status life(Options& given, Answer& answer)
{
    const auto kind = element_from(given.text("kind"));
    if (!kind) return kind.failure();
    LifeCase bearing;
    bearing.kind                = *kind;
    bearing.c                   = given.force("c");
    bearing.p                   = given.force("p");
    bearing.speed               = given.speed("speed");
    bearing.reliability_percent = given.percent("reliability", bearing.reliability_percent);
    bearing.proven_additive     = given.flag("proven-additive");
    if (given.trouble()) return *given.trouble();
    if (const auto told = lubrication(given, bearing, answer); !told) return told.failure();
    const auto found = rating_life(bearing);
    if (!found) return found.failure();
    tell(bearing, *found, answer);
    return still_standing(given, bearing, answer);
}

} // namespace

void add_figure_viscosity(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("viscosity", "of an oil at its running temperature");
    const auto options = std::make_shared<Options>();
    options->add_list(topic, "at", "a known viscosity in mm2/s, such as 40C=32; give it twice", 1, 2);
    options->add(topic, "temperature", "wanted", true);
    run_topic(topic, outcome, options, viscosity);
}

void add_figure_life(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("life", "rating life after ISO 281, and static safety");
    const auto options = std::make_shared<Options>();
    options->add(topic, "kind", "ball or roller", true);
    options->add(topic, "c", "dynamic load rating, such as 55.3kN", true);
    options->add(topic, "p", "equivalent dynamic load", true);
    options->add(topic, "speed", "such as 980rpm", true);
    options->add(topic, "kappa", "viscosity ratio; or give --viscosity and --dpw");
    options->add(topic, "ec", "0 to 1, or extreme, high, normal, slight, typical, severe, very-severe");
    options->add(topic, "cu", "fatigue load limit; or give --c0 and --dpw");
    options->add(topic, "reliability", "percent, 90 to 99.95; 90 when not given");
    options->add(topic, "viscosity", "of the oil at its running temperature, mm2/s");
    options->add(topic, "dpw", "pitch diameter, about (bore + outside diameter) / 2");
    options->add(topic, "c0", "static load rating");
    options->add(topic, "p0", "equivalent static load: gives the static safety with --c0");
    options->add_flag(topic, "proven-additive", "the oil has an additive proven effective at kappa below 1");
    run_topic(topic, outcome, options, life);
}

} // namespace field::cli
