// `figure drawup` and `figure tab`.
#include "engine/fit/clearance.h"
#include "engine/fit/drawup.h"
#include "engine/fit/locktab.h"
#include "engine/metrology/verdict.h"
#include "field/cli/figure.h"

#include <cmath>

namespace field::cli {
namespace {

using namespace engine;

Taper taper_from(Options& given)
{
    Taper unit;
    unit.bore       = given.length("bore");
    unit.raceway    = given.length("raceway");
    unit.taper      = given.taper("taper", unit.taper);
    unit.pitch      = given.pitch("pitch");
    unit.shaft_bore = given.length("shaft-bore");
    unit.width      = given.length("width");
    unit.friction   = given.bare("friction", unit.friction);
    unit.modulus    = given.modulus("modulus", unit.modulus);
    unit.on_sleeve  = given.flag("on-sleeve");
    if (given.flag("smoothing")) unit.smoothing = Smoothing::ground;
    if (given.flag("turned")) unit.smoothing = Smoothing::turned;
    unit.friction_low  = given.bare("friction-low", unit.friction_low);
    unit.friction_high = given.bare("friction-high", unit.friction_high);
    unit.shaft_modulus = given.modulus("shaft-modulus");
    unit.sleeve_bore   = given.length("sleeve-bore");
    unit.sleeve_factor = given.bare("sleeve-factor");
    return unit;
}

Result<DrawUp> worked_out(const Taper& unit, Options& given)
{
    const int known = int{given.has("angle")} + int{given.has("travel")} + int{given.has("take")};
    if (known != 1)
        return failure(Fault::bad_input, "Give one of --angle, --travel and --take, and only one.");
    const auto angle = given.angle("angle");
    const auto moved = given.length("travel"), taken = given.length("take");
    if (given.trouble()) return *given.trouble();
    if (given.has("angle")) return draw_up_by_angle(unit, angle);
    return given.has("travel") ? draw_up_by_travel(unit, moved) : draw_up_by_clearance(unit, taken);
}

void tell_push(const DrawUp& up, Answer& answer)
{
    constexpr std::string_view kWidth = "not worked out without --width";
    if (!up.axial_force || !up.nut_torque) {
        answer.absent("axial_force_kn", kWidth);
        answer.absent("nut_torque_nm", kWidth);
        return;
    }
    answer.number("axial_force_kn", up.axial_force->value, "kN", 2);
    answer.number("nut_torque_nm", up.nut_torque->value, "N.m", 1);
    answer.number("axial_force_low_kn", up.force_low->value, "kN at the lower friction", 2);
    answer.number("axial_force_high_kn", up.force_high->value, "kN at the upper friction", 2);
    answer.number("nut_torque_low_nm", up.torque_low->value, "N.m at the lower friction", 1);
    answer.number("nut_torque_high_nm", up.torque_high->value, "N.m at the upper friction", 1);
}

/// Verdict of what is left: every bearing of the group against the least that must be left.
void tell_left(const ClearanceRange& before, Millimetres taken, Millimetres u, const ResidualMinimum& least,
               Answer& answer)
{
    const auto nm    = [](double mm) { return std::llround(mm * 1e6); };
    const auto left  = [&](Micrometres at) { return nm((to_millimetres(at) - taken).value); };
    const auto bound = IntegerLimits{nm(to_millimetres(least.clearance).value), std::nullopt};
    const auto low   = decide(left(before.low), nm(u.value), bound);
    const auto high  = decide(left(before.high), nm(u.value), bound);
    // The bearing at hand may be any of its group: all of them inside, all outside, or it must be measured.
    const auto verdict = low == high ? low : Verdict::undecided;
    answer.text("verdict", name_of(verdict));
    if (verdict != Verdict::inside)
        answer.note(
            verdict == Verdict::outside
                ? "Less than the least clearance would be left; do not turn so far."
                : "The least clearance may not be left: measure the clearance of this bearing before and "
                  "after, with feelers.");
}

/// What the tables say of the clearance group beside what this draw-up takes.
Status tell_group(const Taper& unit, const std::string& group, const DrawUp& up, Answer& answer)
{
    const Millimetres taken = up.clearance_taken;
    const Millimetres u{2 * model_share(unit.bore) * taken.value};
    const auto        before = clearance_group(unit.bore, BoreForm::tapered, group);
    if (!before) return before.failure();
    answer.number("clearance_before_low_mm", to_millimetres(before->low).value, "mm " + before->source, 3);
    answer.number("clearance_before_high_mm", to_millimetres(before->high).value, "mm " + before->source, 3);
    answer.number("clearance_left_low_mm", (to_millimetres(before->low) - taken).value, "mm", 4);
    answer.number("clearance_left_high_mm", (to_millimetres(before->high) - taken).value, "mm", 4);
    if (const auto advised = advised_reduction(unit.bore)) {
        answer.number("reduction_low_mm", to_millimetres(advised->low).value, "mm " + advised->source, 3);
        answer.number("reduction_high_mm", to_millimetres(advised->high).value, "mm " + advised->source, 3);
    }
    answer.number("clearance_left_u_mm", u.value, "mm (k = 2)", 4);
    if (const auto least = residual_minimum(unit.bore, group)) {
        answer.number("least_left_mm", to_millimetres(least->clearance).value, "mm " + least->source, 3);
        tell_left(*before, taken, u, *least, answer);
    } else {
        answer.absent("verdict", "no table gives the least clearance of this group");
    }
    return Unit{};
}

Status drawup(Options& given, Answer& answer)
{
    const Taper unit = taper_from(given);
    if (given.trouble()) return *given.trouble();
    const auto up = worked_out(unit, given);
    if (!up) return up.failure();
    answer.number("travel_mm", up->travel.value, "mm", 3);
    answer.number("angle_deg", up->angle.value, "degrees", 1);
    answer.number("interference_mm", up->interference.value, "mm on the diameter", 4);
    answer.number("growth_mm", up->growth.value, "mm of the raceway diameter", 4);
    answer.number("clearance_taken_mm", up->clearance_taken.value, "mm", 4);
    answer.number("clearance_taken_u_mm", 2 * model_share(unit.bore) * up->clearance_taken.value,
                  "mm (k = 2), the ring model at this bore", 4);
    answer.number("pressure_mpa", up->pressure.value, "MPa", 1);
    tell_push(*up, answer);
    answer.number("hoop_mpa", up->hoop.value, "MPa, tension at the bore of the ring", 1);
    if (given.has("group")) {
        const auto told = tell_group(unit, given.text("group"), *up, answer);
        if (!told) return told.failure();
    }
    answer.text("source",
                "thick rings [NTN_2203E] [NSK_E1102]; sleeve [TIMKEN_EM]; nut [SHIG9-T8-15]; share the "
                "model may be off: tables of [NSK_E1102] [KOYO_203E] [NKE_2018] [SKF_2018]");
    if (up->heavy)
        answer.note("The interference is above 0.0007 of the bore, the usual upper end; a turn counted "
                    "from hand tight is not a turn from true zero.");
    return Unit{};
}

Status tab(Options& given, Answer& answer)
{
    LockTab lock;
    lock.slots  = given.count("slots", lock.slots);
    lock.tangs  = given.count("tangs", lock.tangs);
    lock.turned = given.angle("turned");
    if (given.has("gap")) lock.gap = given.angle("gap");
    if (given.has("limit")) lock.limit = given.angle("limit");
    if (given.has("pitch")) lock.pitch = given.pitch("pitch");
    if (given.trouble()) return *given.trouble();
    const auto found = lock_tab(lock);
    if (!found) return found.failure();
    answer.number("step_deg", found->step.value, "degrees", 2);
    answer.number("extra_deg", found->extra.value, "degrees", 2);
    answer.number("final_deg", found->final_angle.value, "degrees", 2);
    if (found->extra_travel)
        answer.number("extra_travel_mm", found->extra_travel->value, "mm", 4);
    else
        answer.absent("extra_travel_mm", "not worked out without --pitch");
    answer.text("verdict", name_of(found->verdict));
    answer.text("source",
                "slots and tangs of the nut and washer given: full turn over their least common multiple");
    if (!lock.gap) answer.note("The gap was not given: the whole step is taken as the worst case.");
    answer.note("Tighten to the next tang; never back the nut off.");
    return Unit{};
}

} // namespace

void add_figure_drawup(CLI::App& figure, Outcome& outcome)
{
    CLI::App& topic =
        *figure.add_subcommand("drawup", "ring on its taper: angle, travel, growth, clearance taken");
    const auto options = std::make_shared<Options>();
    options->add(topic, "bore", "bearing bore, small end", true);
    options->add(topic, "raceway", "raceway diameter of the inner ring", true);
    options->add(topic, "taper", "12 or 1:12, on the diameter; 12 when not given");
    options->add(topic, "pitch", "nut thread, such as 1.5mm or 18tpi", true);
    options->add(topic, "angle", "turn of the nut from zero");
    options->add(topic, "travel", "travel of the ring from zero");
    options->add(topic, "take", "clearance to be taken");
    options->add(topic, "shaft-bore", "bore of a hollow shaft; solid when not given");
    options->add(topic, "width", "width of the ring: gives force and torque");
    options->add(topic, "friction", "coefficient of friction; 0.12 when not given");
    options->add(topic, "modulus", "modulus of elasticity; 208GPa when not given");
    options->add(topic, "friction-low", "lower end of the friction, for the ranges; 0.08 when not given");
    options->add(topic, "friction-high", "upper end of the friction; 0.15 when not given");
    options->add(topic, "shaft-modulus", "modulus of the shaft; that of the ring when not given");
    options->add(topic, "sleeve-bore", "bore of a slit sleeve: allows for its own give");
    options->add(topic, "sleeve-factor", "travel on the sleeve over travel on a shaft, such as 1.1");
    options->add(topic, "group", "C2, CN, C3, C4 or C5: clearances of the tables beside the figures");
    options->add_flag(topic, "on-sleeve", "longer travel on an adapter sleeve (1:12 and 1:30)");
    options->add_flag(topic, "smoothing", "allow for surfaces pressed smooth, ground shaft");
    options->add_flag(topic, "turned", "allow for surfaces pressed smooth, turned shaft");
    run_topic(topic, outcome, options, drawup);
}

void add_figure_tab(CLI::App& figure, Outcome& outcome)
{
    CLI::App&  topic   = *figure.add_subcommand("tab", "lock washer: how far to the next tang");
    const auto options = std::make_shared<Options>();
    options->add(topic, "slots", "slots of the nut", true);
    options->add(topic, "tangs", "tangs of the washer", true);
    options->add(topic, "turned", "angle of the nut from zero", true);
    options->add(topic, "gap", "angle still to turn to the nearest tang");
    options->add(topic, "limit", "most the nut may be turned");
    options->add(topic, "pitch", "nut thread: gives the extra travel");
    run_topic(topic, outcome, options, tab);
}

} // namespace field::cli
