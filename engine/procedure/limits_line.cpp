// Limits that hang on the line as a whole: growth, alignment, vibration.
#include "engine/procedure/judged.h"
#include "engine/procedure/limit_rules.h"

#include <cmath>
#include <numbers>

namespace engine {
namespace {

constexpr double kRadiansPerDegree = std::numbers::pi / 180.0;

// Zone C begins here for medium machines on rigid supports; the record is a baseline, so the limit is the
// middle of the scale. Source: ISO 10816-3 group 2 rigid as quoted in reference vibration_zones.csv.
constexpr double kZoneCBegins_mm_s = 2.8;

} // namespace

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

std::optional<Limits> gap_each_limits(const LimitQuestion& question)
{
    const UnitSheet& unit = question.unit;
    if (!unit.float_total) return std::nullopt;
    const Millimetres growth{question.plan.job.alpha.value * question.plan.job.span.value *
                             question.plan.job.rise.value};
    return Limits{dum(growth), dum(*unit.float_total - growth),
                  sheet_of(unit) + ", float " + fixed(unit.float_total->value, 1) + " mm, growth to come " +
                      fixed(growth.value, 2) + " mm"};
}

std::optional<Limits> vibration_limits(const LimitQuestion&)
{
    return Limits{std::nullopt, to_si(kZoneCBegins_mm_s, UnitOf::mm_per_s),
                  "ISO 10816-3 group 2 rigid, zone B up to 2.8 mm/s"};
}

} // namespace engine
