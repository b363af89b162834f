#include "engine/running/levelling.h"

#include <boost/math/tools/minima.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

namespace engine {
namespace {

constexpr int         kSteps    = 80;  // of the search over tau
constexpr std::size_t kCoarse   = 400; // points the search looks at; the refinement takes them all
constexpr double      kFewest   = 5;
constexpr double      kManyTaus = 20;                      // after so many time constants nothing is to come
constexpr double      kBetter   = 4;                       // of Akaike's criterion
constexpr double      kFastest = 1.0 / 50, kSlowest = 3.0; // tau over the length of the series

/// value = level + slope * x by least squares about the middle of x.
struct Line {
    double level = 0, slope = 0, error = 0;
};

template <class Of> Line line_through(std::span<const CurvePoint> points, Of x_of)
{
    const auto n  = static_cast<double>(points.size());
    double     mx = 0, my = 0;
    for (const CurvePoint& p : points)
        mx += x_of(p.t), my += p.value;
    mx /= n, my /= n;
    double sxx = 0, sxy = 0, syy = 0;
    for (const CurvePoint& p : points) {
        const double x = x_of(p.t) - mx, y = p.value - my;
        sxx += x * x, sxy += x * y, syy += y * y;
    }
    Line line;
    line.slope = sxx > 1e-24 ? sxy / sxx : 0;
    line.level = my - line.slope * mx;
    line.error = std::max(0.0, syy - line.slope * sxy);
    return line;
}

struct Search {
    std::span<const CurvePoint> points;
    double                      t0 = 0;

    [[nodiscard]] Line at(double log_tau) const
    {
        const double tau = std::exp(log_tau);
        return line_through(points, [&](double t) { return std::exp(-(t - t0) / tau); });
    }
};

std::vector<CurvePoint> thinned(std::span<const CurvePoint> points)
{
    const std::size_t       every = points.size() / kCoarse + 1;
    std::vector<CurvePoint> few;
    for (std::size_t i = 0; i < points.size(); i += every)
        few.push_back(points[i]);
    return few;
}

/// Square root of the first entry of s^2 (J^T J)^-1, J the slopes of the curve in level, a and tau.
double level_error(std::span<const CurvePoint> points, const LevelCurve& curve, double error)
{
    std::array<double, 6> m{}; // xx of (1, e, g), upper half by rows
    for (const CurvePoint& p : points) {
        const double s = (p.t - curve.t0) / curve.tau, e = std::exp(-s), g = curve.a * e * s;
        m[0] += 1, m[1] += e, m[2] += g, m[3] += e * e, m[4] += e * g, m[5] += g * g;
    }
    const double minor = m[3] * m[5] - m[4] * m[4];
    const double whole =
        m[0] * minor - m[1] * (m[1] * m[5] - m[2] * m[4]) + m[2] * (m[1] * m[4] - m[2] * m[3]);
    if (!(whole > 0) || !(minor > 0)) return 0;
    return std::sqrt(error / (static_cast<double>(points.size()) - 3) * minor / whole);
}

/// The last place where `of` changes its sign, by halving.
template <class Of> std::optional<double> last_change(Of of, double from, double to)
{
    constexpr int kPieces = 4000;
    const double  piece   = (to - from) / kPieces;
    for (int i = kPieces; i > 0; --i) {
        double low = from + (i - 1) * piece, high = from + i * piece;
        if ((of(low) > 0) == (of(high) > 0)) continue;
        const bool low_over = of(low) > 0;
        for (int halved = 0; halved < 60; ++halved) {
            const double middle                         = (low + high) / 2;
            ((of(middle) > 0) == low_over ? low : high) = middle;
        }
        return (low + high) / 2;
    }
    return std::nullopt;
}

/// Akaike's criterion for few readings; the rest is kept from zero for curves without scatter.
double akaike(double n, double rest, double parameters)
{
    return n * std::log(std::max(rest, 1e-12 * n) / n) + 2 * parameters +
           2 * parameters * (parameters + 1) / (n - parameters - 1);
}

} // namespace

double LevelCurve::at(double t) const
{
    return level + a * std::exp(-(t - t0) / tau) + (two ? a2 * std::exp(-(t - t0) / tau2) : 0.0);
}

double LevelCurve::to_come(double t) const
{
    return std::abs(at(t) - level);
}

double LevelCurve::slope(double t) const
{
    return -a / tau * std::exp(-(t - t0) / tau) - (two ? a2 / tau2 * std::exp(-(t - t0) / tau2) : 0.0);
}

double LevelCurve::when_left(double rest) const
{
    if (!two) return std::abs(a) <= rest ? t0 : t0 + tau * std::log(std::abs(a) / rest);
    // Two parts may cross: the last time it comes in.
    const auto more = [&](double t) { return to_come(t) - rest; };
    return last_change(more, t0, t0 + kManyTaus * tau2).value_or(t0);
}

std::optional<double> LevelCurve::when_at(double value) const
{
    if (two) return last_change([&](double t) { return at(t) - value; }, t0, t0 + kManyTaus * tau2);
    const double share = (value - level) / a;
    if (!(share > 0) || share > 1) return std::nullopt;
    return t0 - tau * std::log(share);
}

LevelCurve fit_level(std::span<const CurvePoint> points)
{
    const LevelCurve one = fit_one_part(points), two = fit_two_parts(points);
    if (!two.found) return one;
    const auto n = static_cast<double>(points.size());
    return akaike(n, two.squares, 6) + kBetter < akaike(n, one.squares, 4) ? two : one;
}

LevelCurve fit_one_part(std::span<const CurvePoint> points)
{
    LevelCurve best;
    if (static_cast<double>(points.size()) < kFewest) return best;
    const double length = points.back().t - points.front().t;
    if (!(length > 0)) return best;
    best.t0                           = points.front().t;
    const std::vector<CurvePoint> few = thinned(points);
    const Search                  fast{few, best.t0}, full{points, best.t0};
    const double                  from   = std::log(length * kFastest);
    const double                  step   = std::log(kSlowest / kFastest) / kSteps;
    double                        least  = fast.at(from).error;
    int                           chosen = 0;
    for (int i = 1; i <= kSteps; ++i) {
        const double error = fast.at(from + i * step).error;
        if (error < least) least = error, chosen = i;
    }
    const double   middle  = from + chosen * step;
    std::uintmax_t most    = 60;
    const double   log_tau = boost::math::tools::brent_find_minima([&](double x) { return full.at(x).error; },
                                                                 middle - step, middle + step, 40, most)
                               .first;
    const Line line = full.at(log_tau);
    best.level      = line.level;
    best.a          = line.slope;
    best.tau        = std::exp(log_tau);
    best.level_se   = level_error(points, best, line.error);
    best.squares    = line.error;
    // At the long end of the search the series is a straight line: it shows no level.
    best.found = chosen < kSteps || std::abs(best.a) < 1e-9;
    return best;
}

Slope slope_of(std::span<const CurvePoint> points)
{
    if (points.size() < 2) return {};
    const double start = points.front().t;
    double       mean  = 0;
    for (const CurvePoint& p : points)
        mean += p.t / static_cast<double>(points.size());
    Slope slope;
    slope.value = line_through(points, [&](double t) { return t - start; }).slope;
    for (const CurvePoint& p : points)
        slope.spread += (p.t - mean) * (p.t - mean);
    return slope;
}

} // namespace engine
