// `figure shims`, `figure expansion`, `figure align` and `figure bolt`.
#include "engine/mounting/alignment.h"
#include "engine/mounting/bolting.h"
#include "engine/mounting/expansion.h"
#include "engine/mounting/shims.h"
#include "field/cli/figure.h"

#include <cmath>
#include <sstream>

namespace field::cli {
namespace {

using namespace engine;

/// "0.5mm,0.2mm 0.1mm": one or more texts, each with commas or not.
std::vector<Millimetres> leaves_from(Options& given)
{
    std::vector<Millimetres> leaves;
    for (const std::string& text : given.list("leaf")) {
        std::istringstream parts(text);
        for (std::string part; std::getline(parts, part, ',');)
            leaves.push_back(given.length_of("leaf", part));
    }
    return leaves;
}

Result<Millimetres> travel_from(Options& given)
{
    if (given.has("travel") == given.has("turns"))
        return failure(Fault::bad_input, "Give either --travel, or --turns with --pitch.");
    if (given.has("travel")) return given.length("travel");
    if (!given.has("pitch")) return failure(Fault::bad_input, "Give --pitch together with --turns.");
    const auto turn = given.angle("turns");
    const auto per  = given.pitch("pitch");
    if (given.trouble()) return *given.trouble();
    return shim_thickness(to_turns(turn), per, Millimetres{0});
}

Status shims(Options& given, Answer& answer)
{
    const auto allowance = given.length("tab-allowance");
    const auto travel    = travel_from(given);
    if (given.trouble()) return *given.trouble();
    if (!travel) return travel.failure();
    const auto thickness = shim_thickness(*travel, allowance);
    if (!thickness) return thickness.failure();
    const bool named = given.has("leaf");
    const auto stock = named ? leaves_from(given) : common_leaves();
    if (given.trouble()) return *given.trouble();
    const auto pack = fewest_leaves(*thickness, stock);
    if (!pack) return pack.failure();
    std::vector<double> leaves;
    for (const Millimetres leaf : pack->leaves)
        leaves.push_back(leaf.value);
    answer.number("travel_mm", travel->value, "mm", 3);
    answer.number("thickness_mm", thickness->value, "mm", 3);
    answer.numbers("leaves", leaves, "mm", 3);
    answer.number("left_over_mm", pack->left_over.value, "mm", 3);
    if (!named) answer.note("Leaves of a common assortment: 1.00, 0.50, 0.20, 0.10 and 0.05 mm.");
    return Unit{};
}

Status expand(Options& given, Answer& answer)
{
    Expansion shaft;
    shaft.span  = given.length("span");
    shaft.rise  = given.rise("rise");
    shaft.alpha = given.expansion("alpha", shaft.alpha);
    if (given.has("float-total")) shaft.float_total = given.length("float-total");
    if (const auto gaps = given.list("reading"); gaps.size() == 2)
        shaft.gaps = FloatGaps{given.length_of("reading", gaps[0]), given.length_of("reading", gaps[1])};
    if (given.trouble()) return *given.trouble();
    const auto found = expansion(shaft);
    if (!found) return found.failure();
    answer.number("growth_mm", found->growth.value, "mm", 3);
    if (found->float_each)
        answer.number("float_each_mm", found->float_each->value, "mm", 3);
    else
        answer.absent("float_each_mm", "not known without --float-total");
    answer.number("set_off_mm", found->set_off.value, "mm toward the fixed unit, while cold", 3);
    answer.text("verdict", name_of(found->verdict));
    return Unit{};
}

/// An angle, or a slope in mm/m as a machine level reads.
Degrees slope(Options& given, const std::string& name)
{
    const std::string text = given.text(name);
    if (text.size() < 4 || text.substr(text.size() - 4) != "mm/m") return given.angle(name);
    const auto rise = given.length_of(name, text.substr(0, text.size() - 2));
    return Degrees{std::atan(rise.value / 1000) * 180 / 3.14159265358979323846};
}

Status align(Options& given, Answer& answer)
{
    const auto limit   = given.angle("limit", Degrees{2});
    const bool slopes  = given.has("slope-across") || given.has("slope-up");
    const bool offsets = given.has("offset-across") || given.has("offset-up");
    if (slopes == offsets || (offsets && !given.has("span")))
        return failure(Fault::bad_input,
                       "Give either --span with --offset-across and --offset-up, or --slope-across "
                       "and --slope-up.");
    const Offsets apart{given.length("span"), given.length("offset-across"), given.length("offset-up")};
    const Slopes  tilted{slope(given, "slope-across"), slope(given, "slope-up")};
    if (given.trouble()) return *given.trouble();
    const auto found = slopes ? align_by_slopes(tilted, limit) : align_by_offsets(apart, limit);
    if (!found) return found.failure();
    answer.number("angle_deg", found->angle.value, "degrees", 3);
    answer.text("verdict", name_of(found->verdict));
    answer.number("expanded_u_deg", found->u.value, "degrees (k = 2)", 3);
    return Unit{};
}

Status bolt(Options& given, Answer& answer)
{
    const int  bolts  = given.count("bolts", 4);
    const auto thread = bolt_thread(given.text("size"));
    if (!thread) return thread.failure();
    const auto proof = proof_stress(*thread, given.text("class"));
    if (!proof) return proof.failure();
    const auto lube = lube_factor(given.text("lube"));
    if (!lube) return lube.failure();
    const auto order = cross_order(bolts);
    if (given.trouble()) return *given.trouble();
    if (!order) return order.failure();
    const auto load = tightening(*thread, proof->stress, lube->k);
    if (!load) return load.failure();
    std::vector<double> passes;
    for (const Pass& pass : tightening_passes())
        passes.push_back(pass.share * load->torque.value);
    answer.number("preload_kn", load->preload.value, "kN", 1);
    answer.number("torque_nm", load->torque.value, "N.m", 1);
    answer.numbers("passes", passes, "N.m", 1);
    answer.whole("order", *order);
    answer.text("source", "proof " + proof->source + ", K " + lube->source);
    answer.note(
        "The last pass is the check round: repeat until no bolt turns. The torque of the maker's sheet goes "
        "first.");
    return Unit{};
}

} // namespace

void add_figure_shims(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("shims", "thickness and leaves under the second flange");
    const auto options = std::make_shared<Options>();
    options->add(topic, "turns", "turn of the nut, such as 1turn or 270deg");
    options->add(topic, "pitch", "nut thread, such as 24tpi");
    options->add(topic, "travel", "travel of the ring, in place of turn and pitch");
    options->add(topic, "tab-allowance", "travel the lock tab may still ask for; none when not given");
    options->add_list(topic, "leaf", "leaves at hand, such as 0.5mm,0.2mm,0.1mm", 1, 40);
    run_topic(topic, outcome, options, shims);
}

void add_figure_expansion(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("expansion", "growth of the shaft and room of the cartridge");
    const auto options = std::make_shared<Options>();
    options->add(topic, "span", "between fixed and expansion unit", true);
    options->add(topic, "rise", "running temperature minus temperature now, such as 45K", true);
    options->add(topic, "alpha", "expansion of the shaft per kelvin; 12e-6/K when not given");
    options->add(topic, "float-total", "whole axial room of the cartridge");
    options->add_list(topic, "reading",
                      "two gaps as read: on the side of the fixed unit, then on the far side", 2, 2);
    run_topic(topic, outcome, options, expand);
}

void add_figure_align(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("align", "misalignment of two housings from two planes");
    const auto options = std::make_shared<Options>();
    options->add(topic, "span", "between the places read");
    options->add(topic, "offset-across", "offset in the level plane; none when not given");
    options->add(topic, "offset-up", "offset in the upright plane; none when not given");
    options->add(topic, "slope-across", "slope in the level plane, an angle or mm/m");
    options->add(topic, "slope-up", "slope in the upright plane, an angle or mm/m");
    options->add(topic, "limit", "most the housings may be out; 2deg when not given (common practice)");
    run_topic(topic, outcome, options, align);
}

void add_figure_bolt(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic = *figure.add_subcommand("bolt", "preload, torque, passes and order of mounting bolts");
    const auto options = std::make_shared<Options>();
    options->add(topic, "size", "M6..M36 or UNC with its threads, such as 5/8-11", true);
    options->add(topic, "class", "8.8 for metric, grade5 for UNC", true);
    options->add(topic, "lube", "dry, oiled, anti-seize, or the nut factor K", true);
    options->add(topic, "bolts", "number of bolts, 2..24; 4 when not given");
    run_topic(topic, outcome, options, bolt);
}

} // namespace field::cli
