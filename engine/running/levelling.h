#pragma once
// Least squares of a curve that levels out: value(t) = level + a exp(-(t - t0)/tau). Private to this room.
#include <optional>
#include <span>

namespace engine {

struct CurvePoint {
    double t = 0, value = 0; ///< any unit, t rising
};

struct LevelCurve {
    bool   found = false; ///< false: too few points, or the series gives no end to the change
    double level = 0, a = 0, tau = 0, t0 = 0;
    double level_se = 0; ///< standard error of the level from the scatter about the curve

    [[nodiscard]] double to_come(double t) const;      ///< |a| exp(-(t - t0)/tau)
    [[nodiscard]] double when_left(double rest) const; ///< t from which less than `rest` is to come
    /// Last t at which the curve has `value`; none when it never has, or only before t0.
    [[nodiscard]] std::optional<double> when_at(double value) const;
};

/// Wants five points or more; tau is searched from 1/50 to 3 times the length of the series, then refined
/// until the sum of squares stands.
[[nodiscard]] LevelCurve fit_level(std::span<const CurvePoint> points);

struct Slope {
    double value  = 0; ///< per unit of t, 0 with less than two points
    double spread = 0; ///< sum of (t - mean)^2: the slope's standard error is s / sqrt(spread)
};
[[nodiscard]] Slope slope_of(std::span<const CurvePoint> points);

} // namespace engine
