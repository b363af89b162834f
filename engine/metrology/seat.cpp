#include "engine/metrology/seat.h"

#include "engine/base/ranges.h"
#include "engine/metrology/instrument.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <utility>

namespace engine {
namespace {

constexpr double kReference = kReferenceTemperature.value;

struct SeatCheck {
    Range            range;
    double           value;
    std::string_view what;
};

std::optional<Failure> bad_conditions(const SeatConditions& c)
{
    const std::array checks{
        SeatCheck{{-30, 120, "C", 0}, c.part.value, "part temperature"},
        SeatCheck{{-30, 60, "C", 0}, c.instrument.value, "temperature of the micrometer"},
        SeatCheck{{0, 20, "K", 0}, c.temperature_error.value, "error limit of the temperature"},
        SeatCheck{{5, 30, "um/m per K", 0}, c.alpha.value * 1e6, "expansion coefficient"},
        SeatCheck{
            {0, 5, "um/m per K", 0}, c.alpha_error.value * 1e6, "error limit of the expansion coefficient"},
        SeatCheck{{0, 100, "um", 0}, c.error_limit.value, "error limit of the micrometer"},
        SeatCheck{{0, 100, "um", 0}, c.resolution.value, "resolution of the micrometer"},
        SeatCheck{{0, 100, "um", 0}, c.repeatability.value, "repeatability"},
    };
    for (const SeatCheck& check : checks)
        if (const auto bad = out_of(check.range, check.value, check.what)) return bad;
    return std::nullopt;
}

std::optional<Failure> bad_readings(Millimetres nominal, std::span<const SeatReading> readings)
{
    if (readings.empty())
        return failure(Fault::bad_input, "There is no diameter reading; measure the seat first.");
    std::set<std::pair<std::string, std::string>> seen;
    for (const SeatReading& r : readings) {
        if (r.plane.empty() || r.direction.empty())
            return failure(Fault::bad_input,
                           "A diameter reading does not say its plane and direction, such as I.across.");
        const std::string place = r.plane + "." + r.direction;
        if (!seen.emplace(r.plane, r.direction).second)
            return failure(Fault::bad_input, "The diameter at " + place + " is given twice; give it once.");
        const Range near{0.9 * nominal.value, 1.1 * nominal.value, "mm", 3};
        if (const auto bad = out_of(near, r.diameter.value, "diameter at " + place)) return bad;
    }
    return std::nullopt;
}

struct Plane {
    double low = 1e300, high = -1e300, sum = 0;
    int    count = 0;

    void add(double value)
    {
        low  = std::min(low, value);
        high = std::max(high, value);
        sum += value;
        ++count;
    }
    [[nodiscard]] double mean() const { return sum / count; }
};

/// Standard uncertainties in um; the parts all readings share do not shrink with their number.
struct Budget {
    double limit, step, warmth;
};

Budget budget_of(Millimetres nominal, const SeatConditions& c)
{
    const double um = nominal.value * 1000;
    const double away =
        std::max(std::abs(c.part.value - kReference), std::abs(c.instrument.value - kReference));
    return {standard_of_half_width(c.error_limit.value),
            std::hypot(standard_of_step(c.resolution.value), c.repeatability.value),
            std::hypot(um * c.alpha.value * standard_of_half_width(c.temperature_error.value),
                       um * away * standard_of_half_width(c.alpha_error.value))};
}

/// Guard band of the rule, from an expanded uncertainty with k = 2.
std::int64_t guard_of(Micrometres expanded_u, DecisionRule rule)
{
    return u_to_dum(expanded_u * (guard_factor(rule) / 2));
}

Verdict form_verdict_of(const SeatFigures& figures, const SeatSpec& spec, bool looked_everywhere)
{
    const Verdict verdict =
        decide(std::llround(figures.form_deviation.value * 10), guard_of(figures.expanded_u_form, spec.rule),
               {std::nullopt, std::llround(spec.form.limit.value * 10)});
    if (verdict == Verdict::inside && !looked_everywhere) return Verdict::undecided;
    return verdict;
}

Verdict size_verdict_of(const SeatSpec& spec, const SeatFigures& figures)
{
    const std::int64_t  u = guard_of(figures.expanded_u_reading, spec.rule);
    const IntegerLimits limits{to_dum(spec.nominal + spec.size.lower),
                               to_dum(spec.nominal + spec.size.upper)};
    return worst(decide(to_dum(figures.smallest), u, limits), decide(to_dum(figures.largest), u, limits));
}

} // namespace

Millimetres at_20c(Millimetres read, const SeatConditions& c)
{
    const double net = c.alpha.value * (c.part.value - c.instrument.value);
    return read * (1 - net);
}

Result<SeatFigures> evaluate_seat(const SeatSpec& spec, std::span<const SeatReading> readings,
                                  const SeatConditions& conditions)
{
    if (const auto bad = out_of({1, 500, "mm", 0}, spec.nominal.value, "nominal size")) return *bad;
    if (const auto bad = bad_conditions(conditions)) return *bad;
    if (const auto bad = bad_readings(spec.nominal, readings)) return *bad;

    std::map<std::string, Plane> planes;
    Plane                        all;
    for (const SeatReading& r : readings) {
        const double value = at_20c(r.diameter, conditions).value;
        planes[r.plane].add(value);
        all.add(value);
    }
    Plane means;
    bool  two_directions = true;
    for (const auto& [name, plane] : planes) {
        means.add(plane.mean());
        two_directions = two_directions && plane.count >= 2;
    }

    SeatFigures figures;
    figures.mean_20c = Millimetres{all.mean()};
    figures.smallest = Millimetres{all.low};
    figures.largest  = Millimetres{all.high};
    for (const auto& [name, plane] : planes) {
        const Millimetres variation{plane.high - plane.low};
        figures.out_of_round = std::max(figures.out_of_round, variation);
        figures.planes.push_back({name, Millimetres{plane.mean()}, variation, plane.count});
    }
    figures.taper          = Millimetres{means.high - means.low};
    figures.form_deviation = to_micrometres(Millimetres{(all.high - all.low) / 2});

    const Budget budget = budget_of(spec.nominal, conditions);
    figures.u_mean      = Micrometres{
        std::hypot(budget.limit, budget.step / std::sqrt(static_cast<double>(all.count)), budget.warmth)};
    figures.expanded_u_reading = Micrometres{2 * std::hypot(budget.limit, budget.step, budget.warmth)};
    // Half the difference of two readings; temperature is common to both and drops out.
    figures.expanded_u_form = Micrometres{2 * std::hypot(budget.limit, budget.step) / std::sqrt(2.0)};
    figures.size_verdict    = size_verdict_of(spec, figures);
    figures.form_verdict    = form_verdict_of(figures, spec, planes.size() >= 2 && two_directions);
    return figures;
}

} // namespace engine
