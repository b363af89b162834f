// The nut: what the turn did to the ring, what the lock tab added, and what is left.
#include "engine/base/ranges.h"
#include "engine/fit/drawup.h"
#include "engine/fit/locktab.h"
#include "engine/fit/sheet_check.h"
#include "engine/procedure/assess_parts.h"
#include "engine/procedure/fit_at.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

/// A figure of the estimate: middle and half width of its 95 % interval.
Figure estimated(const std::string& key, Millimetres value, Millimetres standard_u)
{
    constexpr double kCover = 1.96; // 95 % of a normal, engine/fit/estimate.h
    return figure(key, UnitOf::mm, dum(value), std::llround(std::ceil(kCover * standard_u.value * 1e4)));
}

/// Interference and growth as the turn alone makes them, for the drawing and the record.
void add_draw_up(const UnitSheet& unit, Degrees angle, Assessment& assessment)
{
    const auto drawn = draw_up_by_angle(taper_of(unit), angle);
    if (!drawn) return;
    assessment.figures.push_back(figure("interference", UnitOf::mm, dum(drawn->interference)));
    assessment.figures.push_back(figure("growth", UnitOf::mm, dum(drawn->growth)));
    if (drawn->heavy)
        assessment.advice.push_back("The fit is heavier than 0.0007 of the bore, the usual upper end.");
}

/// Without a clearance to start from: travel and clearance taken by the turn alone.
void add_turn_alone(const UnitSheet& unit, Degrees angle, Assessment& assessment)
{
    const auto drawn = draw_up_by_angle(taper_of(unit), angle);
    if (!drawn) return;
    const double per_degree = angle.value > 0 ? drawn->clearance_taken.value / angle.value : 0.0;
    const double u_taken =
        std::hypot(kModelShare * drawn->clearance_taken.value, per_degree * kZeroError.value);
    assessment.figures.push_back(estimated("travel", drawn->travel, to_turns(kZeroError) * unit.pitch));
    assessment.figures.push_back(estimated("clearance_taken", drawn->clearance_taken, Millimetres{u_taken}));
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

} // namespace

void assess_turned(const AssessQuestion& question, Degrees angle, Assessment& assessment)
{
    if (question.unit == nullptr) return;
    const UnitSheet& unit = *question.unit;
    const Limits window{mdeg(unit.turn_min), mdeg(unit.turn_max), sheet_of(unit) + ", nut turn from zero"};
    const Figure turned     = figure("turned", UnitOf::deg, mdeg(angle), 0, window);
    const ShownOutside low  = shown_outside(angle.value, unit.turn_min.value, 0, 0);
    const ShownOutside high = shown_outside(angle.value, unit.turn_max.value, 0, 0);
    const bool         over = angle > unit.turn_max; // the limit that is broken has the digits to show it
    add_figure(assessment, turned,
               "The nut stands at " + (over ? high : low).value + " deg; " + window.source + " asks for " +
                   (over ? fixed(unit.turn_min.value, 0) : low.limit) + " to " +
                   (over ? high.limit : fixed(unit.turn_max.value, 0)) + " deg.");
    const auto fit =
        fit_at(question.plan, question.facts, question.step.ref.pos, angle, FeelersAfter::left_out);
    if (!fit) {
        add_turn_alone(unit, angle, assessment);
        add_draw_up(unit, angle, assessment);
        return;
    }
    const double share   = fit->travel.value > 0 ? fit->u_travel.value / fit->travel.value : 0.0;
    const double u_taken = std::hypot(share, kModelShare) * fit->clearance_taken.value;
    assessment.figures.push_back(estimated("travel", fit->travel, fit->u_travel));
    assessment.figures.push_back(estimated("clearance_taken", fit->clearance_taken, Millimetres{u_taken}));
    add_draw_up(unit, angle, assessment);
    const Figure left = estimated("clearance_left", fit->clearance_left, fit->u_clearance_left);
    assessment.figures.push_back(left);
    compare_with_sheet(question, left, assessment);
    if (const auto misfit = misfit_sentence(*fit); !misfit.empty()) assessment.advice.push_back(misfit);
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

    const Degrees      final_angle = *turned + *extra;
    const Limits       limit{std::nullopt, mdeg(unit.turn_max), sheet_of(unit) + ", nut turn from zero"};
    const ShownOutside shown = shown_outside(final_angle.value, unit.turn_max.value, 0, 0);
    add_figure(assessment, figure("final_angle", UnitOf::deg, mdeg(final_angle), 0, limit),
               "With what the lock tab asked for the nut stands at " + shown.value + " deg, above the " +
                   shown.limit + " deg of " + limit.source + ".");
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
    if (question.unit == nullptr || !turned) return;
    const auto    extra = angle_under(question.plan, question.facts, pos, "tab");
    const Degrees stood = *turned + extra.value_or(Degrees{0});
    if (const auto by_turn = fit_at(question.plan, question.facts, pos, stood, FeelersAfter::left_out))
        assessment.figures.push_back(
            estimated("clearance_expected", by_turn->clearance_left, by_turn->u_clearance_left));
    const auto all = fit_at(question.plan, question.facts, pos, stood, FeelersAfter::taken_in);
    if (!all) return;
    assessment.figures.push_back(estimated("clearance_of_all", all->clearance_left, all->u_clearance_left));
    if (const auto misfit = misfit_sentence(*all); !misfit.empty()) assessment.advice.push_back(misfit);
}

} // namespace engine
