#pragma once
// Least squares of a curve that levels out: value(t) = level + a exp(-(t - t0)/tau). Private to this room.
#include <span>

namespace engine {

struct CurvePoint {
    double t = 0, value = 0; ///< any unit, t rising
};

struct LevelCurve {
    bool   found = false; ///< false: too few points, or the series gives no end to the change
    double level = 0, a = 0, tau = 0, t0 = 0;

    [[nodiscard]] double to_come(double t) const;      ///< |a| exp(-(t - t0)/tau)
    [[nodiscard]] double when_left(double rest) const; ///< t from which less than `rest` is to come
};

/// Wants five points or more; tau is searched from 1/50 to 3 times the length of the series.
[[nodiscard]] LevelCurve fit_level(std::span<const CurvePoint> points);

/// Slope of the straight line through the points, 0 with less than two.
[[nodiscard]] double slope_of(std::span<const CurvePoint> points);

} // namespace engine
