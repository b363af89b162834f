#include "engine/metrology/limits.h"

#include "engine/procedure/judged.h"
#include "engine/procedure/limit_rules.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace engine {
namespace {

Limits between_dum(Millimetres low, Millimetres high, std::string source)
{
    return {dum(low), dum(high), std::move(source)};
}

std::optional<Limits> seat(const LimitQuestion& question)
{
    const UnitSheet& unit   = question.unit;
    const auto       limits = limits_of(unit.shaft, unit.seat_class);
    if (!limits) return std::nullopt;
    return between_dum(unit.shaft + limits->lower, unit.shaft + limits->upper,
                       sheet_of(unit) + ", seat " + limits->iso_class + " (ISO 286)");
}

std::optional<Limits> form(const LimitQuestion& question)
{
    const UnitSheet& unit  = question.unit;
    const auto       limit = form_limit(unit.shaft, unit.seat_form);
    if (!limit) return std::nullopt;
    return Limits{0, dum(limit->limit), sheet_of(unit) + ", seat form " + limit->text + " (ISO 286)"};
}

std::optional<Limits> from_sheet(const UnitSheet& unit, const std::optional<LengthLimits>& limits,
                                 const std::string& what)
{
    if (!limits) return std::nullopt;
    return between_dum(limits->low, limits->high, sheet_of(unit) + ", " + what);
}

std::optional<Limits> clearance_before(const LimitQuestion& question)
{
    return from_sheet(question.unit, question.unit.clearance_before,
                      "clearance before mounting, group " + question.unit.clearance_group);
}

std::optional<Limits> clearance_after(const LimitQuestion& question)
{
    return from_sheet(question.unit, question.unit.clearance_after, "clearance left after mounting");
}

std::optional<Limits> turn(const LimitQuestion& question)
{
    const UnitSheet& unit = question.unit;
    return Limits{mdeg(unit.turn_min), mdeg(unit.turn_max), sheet_of(unit) + ", nut turn from zero"};
}

/// What the lock tab may still ask for: from nothing (never back) to the sheet's largest turn, counted from
/// the turn that was made.
std::optional<Limits> tab(const LimitQuestion& question)
{
    const auto turned = angle_under(question.plan, question.facts, question.at.pos, "turn");
    if (!turned) return std::nullopt;
    const UnitSheet&   unit = question.unit;
    const std::int64_t room = std::max<std::int64_t>(0, mdeg(unit.turn_max) - mdeg(*turned));
    return Limits{0, room,
                  sheet_of(unit) + ", nut turn " + fixed(unit.turn_max.value, 0) + " deg less " +
                      fixed(turned->value, 0) + " deg turned"};
}

std::optional<Limits> shim(const LimitQuestion& question)
{
    const UnitSheet& unit = question.unit;
    if (!unit.shim) return std::nullopt;
    return between_dum(*unit.shim - kShimTolerance, *unit.shim + kShimTolerance,
                       sheet_of(unit) + ", shim; +-0.05 mm is common practice");
}

std::optional<Limits> soft_foot(const LimitQuestion&)
{
    return Limits{std::nullopt, dum(kSoftFootGap), "0.05 mm under a loose foot: common practice"};
}

std::optional<Limits> torque_limits(const UnitSheet& unit, NewtonMetres torque, const std::string& what)
{
    const auto either_way = [&torque](double share) {
        return to_si(torque.value * (1.0 + share), UnitOf::newton_metre);
    };
    return Limits{either_way(-kWrenchTolerance), either_way(kWrenchTolerance),
                  sheet_of(unit) + ", " + what + "; +-6 % of the wrench as ISO 6789 (from memory)"};
}

std::optional<Limits> bolt_torque(const LimitQuestion& question)
{
    return torque_limits(question.unit, question.unit.bolt_torque,
                         question.unit.bolt_size + " " + question.unit.bolt_class + " bolts");
}

std::optional<Limits> cap_torque(const LimitQuestion& question)
{
    if (!question.unit.cap_torque) return std::nullopt;
    return torque_limits(question.unit, *question.unit.cap_torque, "cap bolts");
}

std::optional<Limits> grease(const LimitQuestion& question)
{
    const auto share = [&question](double part) {
        return to_si(question.unit.grease.value * (1.0 + part), UnitOf::gram);
    };
    return Limits{share(-kGreaseTolerance), share(kGreaseTolerance),
                  sheet_of(question.unit) + ", first fill; +-10 % is common practice"};
}

std::optional<Limits> temperature(const LimitQuestion& question)
{
    return Limits{std::nullopt, to_si(question.unit.run_in_limit.value, UnitOf::celsius),
                  sheet_of(question.unit) + ", run-in limit"};
}

/// The air around the machine has no limit: the rise of the run-in is taken from it.
std::optional<Limits> air_limits(const LimitQuestion&)
{
    return std::nullopt;
}

/// The sheet's own window of turn, as travel of a single-start thread.
std::optional<Limits> sleeve_travel(const LimitQuestion& question)
{
    const UnitSheet& unit = question.unit;
    return between_dum(to_turns(unit.turn_min) * unit.pitch, to_turns(unit.turn_max) * unit.pitch,
                       sheet_of(unit) + ", nut turn times thread pitch");
}

/// A torque of the nut has no limit of the sheet: it speaks with the other readings of the fit.
std::optional<Limits> nut_torque(const LimitQuestion&)
{
    return std::nullopt;
}

struct RuleRow {
    std::string_view id;
    LimitRule        rule;
};

constexpr std::array kLimitRules{
    RuleRow{"seat", seat},
    RuleRow{"form", form},
    RuleRow{"clearance_before", clearance_before},
    RuleRow{"clearance_after", clearance_after},
    RuleRow{"turn", turn},
    RuleRow{"tab", tab},
    RuleRow{"shim", shim},
    RuleRow{"gap_each", gap_each_limits},
    RuleRow{"offset", offset_limits},
    RuleRow{"slope", slope_limits},
    RuleRow{"soft_foot", soft_foot},
    RuleRow{"bolt_torque", bolt_torque},
    RuleRow{"cap_torque", cap_torque},
    RuleRow{"grease", grease},
    RuleRow{"temperature", temperature},
    RuleRow{"air", air_limits},
    RuleRow{"vibration", vibration_limits},
    RuleRow{"sleeve_travel", sleeve_travel},
    RuleRow{"nut_torque", nut_torque},
};

/// Unit whose sheet a reading is judged by: of its position; a slot of a job's reading may name one ("B",
/// "B.30"); else the position with the tightest misalignment speaks for the line.
const UnitSheet* unit_for(const Plan& plan, const StepRef& at, const std::string& slot)
{
    if (const UnitSheet* const own = plan.unit(at.pos)) return own;
    if (const UnitSheet* const named = plan.unit(slot.substr(0, slot.find('.')))) return named;
    const auto tightest = std::ranges::min_element(
        plan.units, {}, [](const auto& unit) { return unit.second.misalignment_max; });
    return tightest == plan.units.end() ? nullptr : &tightest->second;
}

} // namespace

LimitRule limit_rule(std::string_view id)
{
    const auto found = std::ranges::find(kLimitRules, id, &RuleRow::id);
    return found == kLimitRules.end() ? nullptr : found->rule;
}

bool is_limit_rule(const std::string& id)
{
    return limit_rule(id) != nullptr;
}

std::optional<Limits> limits_of_reading(const Plan& plan, const FactsByStep& facts, const StepRef& at,
                                        const std::string& ask, const std::string& slot, UnitOf unit)
{
    const Ask* const asked = ask_of(plan, at, ask);
    if (asked == nullptr) return std::nullopt;
    const LimitRule  rule  = limit_rule(asked->limits);
    const UnitSheet* sheet = unit_for(plan, at, slot);
    if (rule == nullptr || sheet == nullptr) return std::nullopt;
    const bool offered =
        std::ranges::any_of(asked->units, [unit](UnitOf known) { return si_unit(known) == si_unit(unit); });
    if (!offered && !asked->units.empty()) return std::nullopt;
    return rule({plan, facts, at, *sheet, ask, slot});
}

} // namespace engine
