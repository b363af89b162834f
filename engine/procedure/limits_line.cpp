// Limits that hang on the line as a whole: growth, alignment, vibration.
#include "engine/procedure/judged.h"
#include "engine/procedure/limit_rules.h"
#include "engine/procedure/line_of.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace engine {
namespace {

constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;

// Zone C begins here for medium machines on rigid supports; the record is a baseline, so the limit is the
// middle of the scale. Source: ISO 10816-3 group 2 rigid as quoted in reference vibration_zones.csv.
constexpr double kZoneCBegins_mm_s = 2.8;

} // namespace

Expansion expansion_of(const Plan& plan, const UnitSheet& unit)
{
    Expansion shaft;
    shaft.span        = plan.job.span;
    shaft.rise        = plan.job.rise;
    shaft.alpha       = plan.job.alpha;
    shaft.float_total = unit.float_total;
    return shaft;
}

bool is_away_gap(const Plan& plan, const std::string& letter, const std::string& ask)
{
    const auto& positions   = plan.job.positions;
    const auto  here        = std::ranges::find(positions, letter, &Position::letter);
    const auto  fixed_one   = std::ranges::find(positions, Hold::fixed, &Position::role);
    const bool  grows_right = fixed_one < here;
    return (ask == "gap_left") != grows_right;
}

std::optional<Limits> offset_limits(const LimitQuestion& question)
{
    const Millimetres span = question.plan.job.span;
    if (!(span.value > 0)) return std::nullopt;
    const Degrees     most = question.unit.misalignment_max;
    const Millimetres offset{span.value * std::tan(most.value * kRadiansPerDegree)};
    return Limits{-dum(offset), dum(offset),
                  sheet_of(question.unit) + ", misalignment " + fixed(most.value, 1) + " deg over " +
                      fixed(span.value, 0) + " mm"};
}

std::optional<Limits> slope_limits(const LimitQuestion& question)
{
    const Degrees most = question.unit.misalignment_max;
    return Limits{-mdeg(most), mdeg(most),
                  sheet_of(question.unit) + ", misalignment " + fixed(most.value, 1) + " deg"};
}

/// Room on either side, cold and warm: the shaft grows into the gap away from the fixed unit.
std::optional<Limits> gap_each_limits(const LimitQuestion& question)
{
    const UnitSheet& unit = question.unit;
    if (!unit.float_total) return std::nullopt;
    const auto shaft = expansion(expansion_of(question.plan, unit));
    if (!shaft) return std::nullopt;
    const std::int64_t total         = dum(*unit.float_total);
    const std::int64_t growth        = dum(shaft->growth);
    const bool         away          = is_away_gap(question.plan, question.at.pos, question.ask);
    const std::int64_t signed_growth = away ? growth : -growth;
    return Limits{std::max<std::int64_t>(0, signed_growth), total + std::min<std::int64_t>(0, signed_growth),
                  sheet_of(unit) + ", float " + fixed(unit.float_total->value, 1) + " mm with " +
                      fixed(shaft->growth.value, 2) + " mm of growth to come"};
}

std::optional<Limits> vibration_limits(const LimitQuestion&)
{
    return Limits{std::nullopt, to_si(kZoneCBegins_mm_s, UnitOf::mm_per_s),
                  "ISO 10816-3 group 2 rigid, zone B up to 2.8 mm/s"};
}

} // namespace engine
