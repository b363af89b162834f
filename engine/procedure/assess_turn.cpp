// The nut: what the turn did to the ring, what the lock tab added, and what is left.
#include "engine/fit/drawup.h"
#include "engine/fit/locktab.h"
#include "engine/procedure/assess_parts.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

// How well a turn tells the clearance taken (k = 2). Published ratios of travel to clearance spread about
// this much around their mean (reference: 13.3 to 16 at 1:12 against 15), friction and ring included.
constexpr double  kModelShare = 0.15;
constexpr Degrees kZeroError{5.0}; ///< how well zero is found by hand, k = 2: common practice

// Tapers for which the longer travel on an adapter sleeve is published [TIMKEN_EM table 41 note 2].
bool has_sleeve_factor(double taper)
{
    return taper == 12.0 || taper == 30.0;
}

Taper taper_of(const UnitSheet& unit)
{
    Taper taper;
    taper.bore      = unit.bearing_bore;
    taper.raceway   = unit.raceway;
    taper.taper     = unit.taper;
    taper.pitch     = unit.pitch;
    taper.on_sleeve = has_sleeve_factor(unit.taper);
    return taper;
}

struct Taken { ///< clearance a turn takes, and how well that is known
    DrawUp      drawn;
    Micrometres u_travel, u_taken; ///< k = 2
};

std::optional<Taken> taken_by(const UnitSheet& unit, Degrees angle)
{
    const auto drawn = draw_up_by_angle(taper_of(unit), angle);
    if (!drawn) return std::nullopt;
    Taken        taken{*drawn, {}, {}};
    const double per_degree = angle.value > 0 ? drawn->clearance_taken.value / angle.value : 0.0;
    taken.u_travel          = to_micrometres(to_turns(kZeroError) * unit.pitch);
    taken.u_taken           = Micrometres{
        1000.0 * std::hypot(kModelShare * drawn->clearance_taken.value, per_degree * kZeroError.value)};
    return taken;
}

/// Clearance left by what was read before, less what the turn takes.
std::optional<Figure> clearance_left(const AssessQuestion& question, const Taken& taken)
{
    const ReadingFact* const before =
        reading_under(question.plan, question.facts, question.step.ref.pos, "clearance_before");
    if (before == nullptr) return std::nullopt;
    const std::int64_t left = before->value.si - dum(taken.drawn.clearance_taken);
    const double       u    = std::hypot(static_cast<double>(before->u_si), taken.u_taken.value * 10.0);
    return figure("clearance_left", UnitOf::mm, left, std::llround(std::ceil(u)));
}

std::string mm_pm(const Figure& figure)
{
    return fixed(from_si(figure.si, UnitOf::mm), 3) + " mm (+-" + fixed(from_si(figure.u_si, UnitOf::mm), 3) +
           ")";
}

/// Rule 9: sheet and physics compared; the sheet stays the authority.
void compare_with_sheet(const AssessQuestion& question, const Figure& left, Assessment& assessment)
{
    const auto& window = question.unit->clearance_after;
    if (!window) return;
    const Limits limits{dum(window->low), dum(window->high), sheet_of(*question.unit)};
    if (verdict_of_reading(left.si, left.u_si, limits) != Verdict::outside) return;
    assessment.advice.push_back("By the clearance read before, this turn leaves " + mm_pm(left) + "; " +
                                limits.source + " wants " + fixed(window->low.value, 3) + " to " +
                                fixed(window->high.value, 3) +
                                " mm left. The sheet decides; check zero and the first clearance.");
}

/// The travel read on the thread beside the travel the turn makes.
void compare_travel(const AssessQuestion& question, const Taken& taken, Assessment& assessment)
{
    const ReadingFact* const read =
        reading_under(question.plan, question.facts, question.step.ref.pos, "sleeve_travel");
    if (read == nullptr) return;
    const double apart = from_si(read->value.si, UnitOf::mm) - taken.drawn.travel.value;
    const double may   = std::hypot(from_si(read->u_si, UnitOf::mm), to_millimetres(taken.u_travel).value);
    if (std::abs(apart) <= may) return;
    assessment.advice.push_back("The sleeve moved " + fixed(from_si(read->value.si, UnitOf::mm), 2) +
                                " mm and the turn makes " + fixed(taken.drawn.travel.value, 2) +
                                " mm: more apart than both may be off. Was zero taken late?");
}

} // namespace

void assess_turned(const AssessQuestion& question, Degrees angle, Assessment& assessment)
{
    if (question.unit == nullptr) return;
    const UnitSheet& unit  = *question.unit;
    const auto       taken = taken_by(unit, angle);
    if (!taken) return;
    const Limits window{mdeg(unit.turn_min), mdeg(unit.turn_max), sheet_of(unit) + ", nut turn from zero"};
    const Figure turned = figure("turned", UnitOf::deg, mdeg(angle), 0, window);
    add_figure(assessment, turned,
               "The nut stands at " + fixed(angle.value, 0) + " deg; " + window.source + " asks for " +
                   fixed(unit.turn_min.value, 0) + " to " + fixed(unit.turn_max.value, 0) + " deg.");
    const std::int64_t u_taken = dum(taken->u_taken);
    assessment.figures.push_back(
        figure("travel", UnitOf::mm, dum(taken->drawn.travel), dum(taken->u_travel)));
    assessment.figures.push_back(figure("interference", UnitOf::mm, dum(taken->drawn.interference)));
    assessment.figures.push_back(figure("growth", UnitOf::mm, dum(taken->drawn.growth), u_taken));
    assessment.figures.push_back(
        figure("clearance_taken", UnitOf::mm, dum(taken->drawn.clearance_taken), u_taken));
    if (const auto left = clearance_left(question, *taken)) {
        assessment.figures.push_back(*left);
        compare_with_sheet(question, *left, assessment);
    }
    if (taken->drawn.heavy)
        assessment.advice.push_back("The fit is heavier than 0.0007 of the bore, the usual upper end.");
    compare_travel(question, *taken, assessment);
}

void assess_lock(const AssessQuestion& question, Assessment& assessment)
{
    const std::string& pos    = question.step.ref.pos;
    const auto         turned = angle_under(question.plan, question.facts, pos, "turn");
    const auto         extra  = angle_under(question.plan, question.facts, pos, "tab");
    if (question.unit == nullptr || !turned || !extra) return;
    const UnitSheet& unit = *question.unit;
    LockTab          tab;
    tab.slots        = unit.slots;
    tab.tangs        = unit.tangs;
    tab.turned       = *turned;
    tab.gap          = std::nullopt;
    tab.pitch        = unit.pitch;
    const auto steps = lock_tab(tab);

    const Degrees final_angle = *turned + *extra;
    const Limits  limit{std::nullopt, mdeg(unit.turn_max), sheet_of(unit) + ", nut turn from zero"};
    add_figure(assessment, figure("final_angle", UnitOf::deg, mdeg(final_angle), 0, limit),
               "With what the lock tab asked for the nut stands at " + fixed(final_angle.value, 0) +
                   " deg, above the " + fixed(unit.turn_max.value, 0) + " deg of " + limit.source + ".");
    if (extra->value < 0)
        take_verdict(assessment, Verdict::outside,
                     "The nut is tightened to the next slot, never loosened: give the angle it went on.");
    assessment.figures.push_back(figure("extra_travel", UnitOf::mm, dum(to_turns(*extra) * unit.pitch)));
    const Millimetres travel = to_turns(final_angle) * unit.pitch;
    assessment.figures.push_back(figure("final_travel", UnitOf::mm, dum(travel)));
    if (steps && extra->value > steps->step.value + 0.5)
        assessment.advice.push_back("A tang meets a slot every " + fixed(steps->step.value, 1) +
                                    " deg; the nut went on by " + fixed(extra->value, 0) + " deg.");
    const auto            shim = length_under(question.plan, question.facts, pos, "shim");
    constexpr Millimetres kShimAllowance{0.15}; // what seating and lock tab may add: common practice
    if (shim && std::abs((travel - *shim).value) > kShimAllowance.value)
        assessment.advice.push_back("The nut drew the ring " + fixed(travel.value, 2) +
                                    " mm and the shims were " + fixed(shim->value, 2) +
                                    " mm: the flange will not land without thrust on its face.");
}

void assess_clearance_after(const AssessQuestion& question, Assessment& assessment)
{
    const std::string&       pos    = question.step.ref.pos;
    const ReadingFact* const before = reading_under(question.plan, question.facts, pos, "clearance_before");
    const ReadingFact* const after  = reading_under(question.plan, question.facts, pos, "clearance_after");
    const auto               turned = angle_under(question.plan, question.facts, pos, "turn");
    if (after == nullptr) return;
    if (before != nullptr) {
        const double u = std::hypot(static_cast<double>(before->u_si), static_cast<double>(after->u_si));
        assessment.figures.push_back(
            figure("reduction", UnitOf::mm, before->value.si - after->value.si, std::llround(std::ceil(u))));
    }
    if (question.unit == nullptr || before == nullptr || !turned) return;
    const auto extra = angle_under(question.plan, question.facts, pos, "tab");
    const auto taken = taken_by(*question.unit, *turned + extra.value_or(Degrees{0}));
    if (!taken) return;
    const auto left = clearance_left(question, *taken);
    if (!left) return;
    Figure expected = *left;
    expected.key    = "clearance_expected";
    assessment.figures.push_back(expected);
    const double apart = static_cast<double>(after->value.si - left->si);
    if (std::abs(apart) <= std::hypot(static_cast<double>(after->u_si), static_cast<double>(left->u_si)))
        return;
    assessment.advice.push_back("Feelers say " + after->value.text + " " +
                                std::string(unit_symbol(after->value.unit)) + "; the turn should leave " +
                                mm_pm(*left) +
                                ". Zero taken late, or a feeler over a loaded roller: read again.");
}

} // namespace engine
