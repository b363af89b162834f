#pragma once
// Least squares of a curve that levels out. Private to this room.
//   value(t) = level + a exp(-(t - t0)/tau) [+ a2 exp(-(t - t0)/tau2)],  tau2 > tau
// The second part is a slow body behind a fast one (housing and structure behind the bearing). It is taken
// where it fits better by more than 4 of Akaike's criterion for few readings,
// n ln(rest/n) + 2 k + 2 k (k + 1)/(n - k - 1), k the parameters and the scatter (Hurvich and Tsai 1989, from
// memory; the step of 4 is common practice).
#include <optional>
#include <span>

namespace engine {

struct CurvePoint {
    double t = 0, value = 0; ///< any unit, t rising
};

struct LevelCurve {
    bool   found = false; ///< false: too few points, or the series gives no end to the change
    bool   two   = false; ///< two parts
    double level = 0, a = 0, tau = 0, t0 = 0;
    double a2 = 0, tau2 = 0;
    double level_se = 0; ///< standard error of the level from the scatter about the curve
    double squares  = 0; ///< sum of the squares left

    [[nodiscard]] double at(double t) const;
    [[nodiscard]] double to_come(double t) const;      ///< |value(t) - level|
    [[nodiscard]] double slope(double t) const;        ///< per unit of t
    [[nodiscard]] double when_left(double rest) const; ///< t from which less than `rest` is to come
    /// Last t at which the curve has `value`; none when it never has, or only before t0.
    [[nodiscard]] std::optional<double> when_at(double value) const;
};

/// Wants five points or more for one part, nine for two; tau is searched from 1/50 to 3 times the length of
/// the series, then refined until the sum of squares stands.
[[nodiscard]] LevelCurve fit_level(std::span<const CurvePoint> points);
/// One part, whatever fits better.
[[nodiscard]] LevelCurve fit_one_part(std::span<const CurvePoint> points);
/// Two parts; not found where the points do not hold two.
[[nodiscard]] LevelCurve fit_two_parts(std::span<const CurvePoint> points);

struct Slope {
    double value  = 0; ///< per unit of t, 0 with less than two points
    double spread = 0; ///< sum of (t - mean)^2: the slope's standard error is s / sqrt(spread)
};
[[nodiscard]] Slope slope_of(std::span<const CurvePoint> points);

} // namespace engine
