#include "engine/running/levelling.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

/// value = level + slope * x by least squares.
struct Line {
    double level = 0, slope = 0, error = 0;
};

template <class Of> Line line_through(std::span<const CurvePoint> points, Of x_of)
{
    const auto n  = static_cast<double>(points.size());
    double     sx = 0, sy = 0, sxx = 0, sxy = 0;
    for (const CurvePoint& p : points) {
        const double x = x_of(p.t);
        sx += x, sy += p.value, sxx += x * x, sxy += x * p.value;
    }
    const double spread = n * sxx - sx * sx;
    Line         line;
    line.slope = spread > 1e-12 * n * sxx ? (n * sxy - sx * sy) / spread : 0;
    line.level = (sy - line.slope * sx) / n;
    for (const CurvePoint& p : points) {
        const double off = p.value - line.level - line.slope * x_of(p.t);
        line.error += off * off;
    }
    return line;
}

} // namespace

double LevelCurve::to_come(double t) const
{
    return std::abs(a) * std::exp(-(t - t0) / tau);
}

double LevelCurve::when_left(double rest) const
{
    if (std::abs(a) <= rest) return t0;
    return t0 + tau * std::log(std::abs(a) / rest);
}

LevelCurve fit_level(std::span<const CurvePoint> points)
{
    LevelCurve best;
    if (points.size() < 5) return best;
    const double length = points.back().t - points.front().t;
    if (!(length > 0)) return best;
    best.t0              = points.front().t;
    constexpr int kSteps = 240;
    double        least  = 0;
    int           chosen = -1;
    for (int i = 0; i <= kSteps; ++i) {
        const double tau  = length / 50 * std::pow(150.0, static_cast<double>(i) / kSteps);
        const Line   line = line_through(points, [&](double t) { return std::exp(-(t - best.t0) / tau); });
        if (chosen >= 0 && line.error >= least) continue;
        least      = line.error;
        chosen     = i;
        best.level = line.level;
        best.a     = line.slope;
        best.tau   = tau;
    }
    // At the long end of the search the series is a straight line: it shows no level.
    best.found = chosen < kSteps || std::abs(best.a) < 1e-9;
    return best;
}

double slope_of(std::span<const CurvePoint> points)
{
    if (points.size() < 2) return 0;
    const double start = points.front().t;
    return line_through(points, [&](double t) { return t - start; }).slope;
}

} // namespace engine
