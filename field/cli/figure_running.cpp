// `figure grease` and `figure run-in`.
#include "engine/base/numbers.h"
#include "engine/running/grease.h"
#include "engine/running/run_in.h"
#include "field/cli/figure.h"

namespace field::cli {
namespace {

using namespace engine;

Result<RollingKind> kind_from(const std::string& name)
{
    if (name.empty() || name == "spherical") return RollingKind::spherical;
    if (name == "ball") return RollingKind::ball;
    if (name == "cylindrical") return RollingKind::cylindrical;
    return failure(Fault::bad_input, "'" + name.substr(0, 32) +
                                         "' is not a kind of bearing; give ball, cylindrical or spherical.");
}

Status grease(Options& given, Answer& answer)
{
    GreaseCase bearing;
    bearing.bore        = given.length("bore");
    bearing.outer       = given.length("outer");
    bearing.width       = given.length("width");
    bearing.speed       = given.speed("speed");
    bearing.temperature = given.temperature("temperature", bearing.temperature);
    if (given.has("mass")) bearing.mass = given.mass("mass");
    if (given.trouble()) return *given.trouble();
    const auto kind = kind_from(given.text("kind"));
    if (!kind) return kind.failure();
    bearing.kind     = *kind;
    const auto found = grease_for(bearing);
    if (!found) return found.failure();
    answer.number("first_fill_g", found->first_fill.value, "g", 0);
    answer.number("refill_g", found->refill.value, "g", 1);
    answer.number("interval_h", found->interval.value, "h", 0);
    answer.text("source",
                "refill [SCRIBD-GREASE] [DOCEST-RELUB]; interval [TAE-RELUB] [SCRIBD-GREASE]; first fill "
                "[MEM-GREASE]");
    if (found->interval.value > kGreaseAges.value)
        answer.note("Grease ages: renew it after " + fixed(kGreaseAges.value, 0) +
                    " h at the latest [DOCEST-RELUB].");
    if (!bearing.mass) answer.note("The first fill is rough: the mass of the bearing was not given.");
    return Unit{};
}

void tell_level(const RunIn& run, Answer& answer)
{
    answer.number("peak_c", run.peak.value, "C", 1);
    answer.number("level_c", run.level.value, "C", 1);
    if (run.level_low && run.level_high) {
        answer.number("level_low_c", run.level_low->value, "C, 95 %, sensor and every curve that fits", 1);
        answer.number("level_high_c", run.level_high->value, "C", 1);
    } else {
        answer.absent("level_low_c", "not to be told yet");
        answer.absent("level_high_c", "not to be told yet");
    }
    if (run.level_after_min)
        answer.number("level_after_min", *run.level_after_min, run.levelled ? "min" : "min (forecast)", 0);
    else
        answer.absent("level_after_min", "not to be told yet");
    if (run.slope_k_h)
        answer.number("slope_k_h", *run.slope_k_h, "K an hour at the last reading", 1);
    else
        answer.absent("slope_k_h", "not to be told yet");
    answer.text("model", run.model);
    if (run.rise)
        answer.number("rise_k", run.rise->value, "K over the air", 1);
    else
        answer.absent("rise_k", "rise not judged: no air temperature");
    if (run.rise_low && run.rise_high) {
        answer.number("rise_low_k", run.rise_low->value, "K, 95 %", 1);
        answer.number("rise_high_k", run.rise_high->value, "K", 1);
    }
}

Status run_in(Options& given, Answer& answer)
{
    RunInLimits limits;
    limits.limit = given.temperature("limit", limits.limit);
    limits.rise  = given.rise("rise-limit", limits.rise);
    limits.u     = given.rise("u", limits.u);
    if (given.trouble()) return *given.trouble();
    const auto table = read_csv(given.text("file"));
    if (!table) return table.failure();
    const auto series = run_in_from(*table);
    if (!series) return series.failure();
    const auto run = judge_run_in(*series, limits);
    if (!run) return run.failure();
    tell_level(*run, answer);
    answer.text("verdict", name_of(run->verdict));
    answer.number("expanded_u_level_k", run->level_u.value, "K (k = 2), scatter about the curve alone", 2);
    if (run->stop_at_min) answer.number("stop_at_min", *run->stop_at_min, "min", 0);
    if (run->limit_at_min) answer.number("limit_at_min", *run->limit_at_min, "min (forecast)", 0);
    if (!run->sentence.empty()) answer.note(run->sentence);
    if (!run->advice.empty()) answer.note(run->advice);
    answer.text("source",
                "limits: the sheet, else 80 C and 40 K [YR8]; levelling [RIGBRS] [IBRGS]; when it counts "
                "as level: common practice");
    return Unit{};
}

} // namespace

void add_figure_grease(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("grease", "first fill, refill and interval");
    const auto options = std::make_shared<Options>();
    options->add(topic, "bore", "bearing bore", true);
    options->add(topic, "outer", "outside diameter of the bearing", true);
    options->add(topic, "width", "width of the bearing", true);
    options->add(topic, "speed", "such as 980rpm", true);
    options->add(topic, "temperature", "of the outer ring; 70C when not given");
    options->add(topic, "kind", "ball, cylindrical or spherical; spherical when not given");
    options->add(topic, "mass", "of the bearing without housing: gives its free space");
    run_topic(topic, outcome, options, grease);
}

void add_figure_run_in(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("run-in", "temperature of a run-in: peak, level, verdict");
    const auto options = std::make_shared<Options>();
    options->add_file(topic, "file",
                      "sheet with the columns minutes, temperature_c and, if read, ambient_c, speed_rpm");
    options->add(topic, "limit", "stop above it; 80C when not given");
    options->add(topic, "rise-limit", "most the level may lie over the air; 40K when not given");
    options->add(topic, "u", "expanded uncertainty of the thermometers; 1K when not given");
    run_topic(topic, outcome, options, run_in);
}

} // namespace field::cli
