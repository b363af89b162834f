// `figure shims`, `figure expansion` and `figure align`.
#include "engine/base/numbers.h"
#include "engine/mounting/alignment.h"
#include "engine/mounting/expansion.h"
#include "engine/mounting/shims.h"
#include "field/cli/figure.h"

#include <cmath>
#include <sstream>

namespace field::cli {
namespace {

using namespace engine;

/// "0.5mm*2": two leaves of half a millimetre at hand; without a count as many as wanted.
ShimLeaf leaf_from(Options& given, const std::string& text)
{
    const std::size_t star = text.find('*');
    ShimLeaf          leaf{given.length_of("leaf", text.substr(0, star))};
    if (star == std::string::npos) return leaf;
    const auto count = parse_number(text.substr(star + 1));
    if (count && *count == std::floor(*count) && *count >= 0 && *count <= 1000)
        leaf.at_hand = static_cast<int>(*count);
    else
        given.blame(failure(Fault::bad_input, "--leaf: '" + text.substr(0, 64) +
                                                  "' does not say how many; give it like 0.5mm*2."));
    return leaf;
}

/// "0.5mm,0.2mm*3 0.1mm": one or more texts, each with commas or not.
std::vector<ShimLeaf> leaves_from(Options& given)
{
    std::vector<ShimLeaf> leaves;
    for (const std::string& text : given.list("leaf")) {
        std::istringstream parts(text);
        for (std::string part; std::getline(parts, part, ',');)
            leaves.push_back(leaf_from(given, part));
    }
    return leaves;
}

/// The plane that unequal shims at three points make.
Status three_points(Options& given, Answer& answer)
{
    const auto points = given.list("under");
    if (points.empty()) return Unit{};
    if (points.size() != 3 || !given.has("circle"))
        return failure(Fault::bad_input, "Give three thicknesses with --under, and --circle.");
    ThreeShims shims;
    for (std::size_t i = 0; i < 3; ++i)
        shims.thickness.at(i) = given.length_of("under", points[i]);
    shims.circle = given.length("circle");
    if (given.trouble()) return *given.trouble();
    const auto plane = plane_of(shims);
    if (!plane) return plane.failure();
    answer.number("tilt_deg", plane->tilt.value, "degrees", 4);
    answer.number("high_at_deg", plane->high_at.value, "degrees from the first point", 0);
    answer.number("across_mm", plane->across.value, "mm from the lowest to the highest place", 3);
    answer.number("centre_mm", plane->centre.value, "mm in the middle", 3);
    return Unit{};
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
    const auto stock = leaves_from(given);
    if (given.trouble()) return *given.trouble();
    const auto pack = named ? fewest_leaves(*thickness, stock) : fewest_leaves(*thickness, common_leaves());
    if (!pack) return pack.failure();
    std::vector<double> leaves;
    for (const Millimetres leaf : pack->leaves)
        leaves.push_back(leaf.value);
    answer.number("travel_mm", travel->value, "mm", 3);
    answer.number("thickness_mm", thickness->value, "mm", 3);
    answer.numbers("leaves", leaves, "mm", 3);
    answer.number("left_over_mm", pack->left_over.value, "mm", 3);
    answer.text("source",
                "travel of a single-start thread, turns times pitch; assortment of leaves: common practice");
    if (!named) answer.note("Leaves of a common assortment: 1.00, 0.50, 0.20, 0.10 and 0.05 mm.");
    return three_points(given, answer);
}

Status expand(Options& given, Answer& answer)
{
    Expansion shaft;
    shaft.span    = given.length("span");
    shaft.rise    = given.rise("rise");
    shaft.alpha   = given.expansion("alpha", shaft.alpha);
    shaft.alpha_u = given.expansion("alpha-u", shaft.alpha_u);
    shaft.rise_u  = given.rise("rise-u", shaft.rise_u);
    if (given.has("float-total")) shaft.float_total = given.length("float-total");
    if (const auto gaps = given.list("reading"); gaps.size() == 2)
        shaft.gaps = FloatGaps{given.length_of("reading", gaps[0]), given.length_of("reading", gaps[1])};
    if (given.trouble()) return *given.trouble();
    const auto found = expansion(shaft);
    if (!found) return found.failure();
    answer.number("growth_mm", found->growth.value, "mm", 3);
    answer.number("growth_u_mm", found->growth_u.value, "mm (k = 2), from expansion and rise", 3);
    if (found->float_each)
        answer.number("float_each_mm", found->float_each->value, "mm", 3);
    else
        answer.absent("float_each_mm", "not known without --float-total");
    answer.number("set_off_mm", found->set_off.value, "mm toward the fixed unit, while cold", 3);
    if (found->move) answer.number("move_mm", found->move->value, "mm toward the fixed unit, to do", 3);
    if (found->room_left)
        answer.number("room_left_mm", found->room_left->value, "mm when warm, on the side it grows into", 3);
    if (found->rise_held)
        answer.number("rise_held_k", found->rise_held->value, "K until the far gap is used up", 0);
    answer.text("verdict", name_of(found->verdict));
    answer.text("source", "growth and steel 12e-6/K [SKF_2018] [NKE_2018], makers print 11 to 12.5e-6; cold "
                          "position and doubt of the rise: common practice");
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
    answer.number("direction_deg", found->direction.value, "degrees (0 across, 90 up)", 0);
    answer.number("expanded_u_deg", found->u.value, "degrees (k = 2)", 3);
    answer.text("source",
                "geometry of two planes; limit of 2 degrees: common practice, the sheet goes first");
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
    options->add_list(topic, "leaf", "leaves at hand, such as 0.5mm,0.2mm*3,0.1mm", 1, 40);
    options->add_list(topic, "under",
                      "shims as they lie at three points of the flange, a third of a turn apart", 3, 3);
    options->add(topic, "circle", "diameter of the circle of these points: gives the tilt");
    run_topic(topic, outcome, options, shims);
}

void add_figure_expansion(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("expansion", "growth of the shaft and room of the cartridge");
    const auto options = std::make_shared<Options>();
    options->add(topic, "span", "between fixed and expansion unit", true);
    options->add(topic, "rise", "running temperature minus temperature now, such as 45K", true);
    options->add(topic, "alpha", "expansion of the shaft per kelvin; 12e-6/K when not given");
    options->add(topic, "alpha-u", "expanded uncertainty of alpha; 0.87e-6/K when not given");
    options->add(topic, "rise-u", "expanded uncertainty of the rise; 5K when not given");
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

} // namespace field::cli
