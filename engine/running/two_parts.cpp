// Two exponentials by least squares: a grid over both time constants, then Levenberg's steps in all five
// unknowns.
#include "engine/running/levelling.h"
#include "engine/running/small_solve.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace engine {
namespace {

constexpr std::size_t kPartsFewest = 9;
constexpr std::size_t kTauSteps    = 26;
constexpr double      kTauFast = 1.0 / 60, kTauSlow = 3.0; // over the length of the series
constexpr int         kMostSteps = 200;

using Five = SmallVector<5>; // level, a, a2, ln tau, ln tau2

struct NormalSums {
    SmallMatrix<5> matrix{};
    Five           right{};
    double         rest = 0;
};

NormalSums normal_of(std::span<const CurvePoint> points, double t0, const Five& p)
{
    NormalSums   normal;
    const double tau = std::exp(p[3]), tau2 = std::exp(p[4]);
    for (const CurvePoint& point : points) {
        const double s = (point.t - t0) / tau, s2 = (point.t - t0) / tau2;
        const double e = std::exp(-s), e2 = std::exp(-s2);
        const Five   slope{1, e, e2, p[1] * e * s, p[2] * e2 * s2};
        const double off = point.value - p[0] - p[1] * e - p[2] * e2;
        normal.rest += off * off;
        for (std::size_t i = 0; i < 5; ++i) {
            normal.right[i] += slope[i] * off;
            for (std::size_t j = 0; j <= i; ++j)
                normal.matrix[i][j] += slope[i] * slope[j];
        }
    }
    return normal;
}

/// Level and amplitudes for given time constants; the sum of squares decides the start.
struct Trial {
    Five   p{};
    double rest = std::numeric_limits<double>::infinity();
};

struct WaveSums {
    std::vector<std::vector<double>> waves; ///< one a time constant
    std::vector<double>              values;
};

Trial tried(const WaveSums& sums, std::size_t fast, std::size_t slow)
{
    SmallMatrix<3> m{};
    SmallVector<3> right{};
    double         whole = 0;
    for (std::size_t i = 0; i < sums.values.size(); ++i) {
        const SmallVector<3> x{1, sums.waves[fast][i], sums.waves[slow][i]};
        for (std::size_t r = 0; r < 3; ++r) {
            right[r] += x[r] * sums.values[i];
            for (std::size_t c = 0; c <= r; ++c)
                m[r][c] += x[r] * x[c];
        }
        whole += sums.values[i] * sums.values[i];
    }
    Trial      trial;
    const auto l = lower_factor(m);
    if (!l) return trial;
    const auto best = solve_upper(*l, solve_lower(*l, right));
    trial.p         = {best[0], best[1], best[2], 0, 0};
    trial.rest      = whole - best[0] * right[0] - best[1] * right[1] - best[2] * right[2];
    return trial;
}

Trial best_start(std::span<const CurvePoint> points, double t0, double length)
{
    WaveSums          sums;
    const std::size_t every  = points.size() / 200 + 1;
    const double      middle = points[points.size() / 2].value;
    for (std::size_t i = 0; i < points.size(); i += every)
        sums.values.push_back(points[i].value - middle);
    std::vector<double> log_tau;
    for (std::size_t k = 0; k < kTauSteps; ++k) {
        log_tau.push_back(std::log(length * kTauFast) +
                          static_cast<double>(k) * std::log(kTauSlow / kTauFast) / (kTauSteps - 1));
        auto& wave = sums.waves.emplace_back();
        for (std::size_t i = 0; i < points.size(); i += every)
            wave.push_back(std::exp(-(points[i].t - t0) / std::exp(log_tau.back())));
    }
    Trial best;
    for (std::size_t fast = 0; fast + 2 < kTauSteps; ++fast)
        for (std::size_t slow = fast + 2; slow < kTauSteps; ++slow) {
            Trial trial = tried(sums, fast, slow);
            if (!(trial.rest < best.rest)) continue;
            trial.p[0] += middle, trial.p[3] = log_tau[fast], trial.p[4] = log_tau[slow];
            best = trial;
        }
    return best;
}

/// Levenberg's steps until the sum of squares stands.
NormalSums settled(std::span<const CurvePoint> points, double t0, Five& p)
{
    NormalSums now    = normal_of(points, t0, p);
    double     damped = 1e-3;
    for (int step = 0; step < kMostSteps && damped < 1e12; ++step) {
        SmallMatrix<5> m = now.matrix;
        for (std::size_t i = 0; i < 5; ++i)
            m[i][i] *= 1 + damped;
        const auto l = lower_factor(m);
        if (!l) {
            damped *= 10;
            continue;
        }
        const Five move = solve_upper(*l, solve_lower(*l, now.right));
        Five       next = p;
        for (std::size_t i = 0; i < 5; ++i)
            next[i] += i < 3 ? move[i] : std::clamp(move[i], -0.5, 0.5);
        const NormalSums there = normal_of(points, t0, next);
        if (!(there.rest <= now.rest)) {
            damped *= 10;
            continue;
        }
        const bool stands = std::abs(move[0]) < 1e-11 * (1 + std::abs(p[0])) && damped < 1e-3;
        p = next, now = there, damped = std::max(damped / 10, 1e-14);
        if (stands) break;
    }
    return now;
}

} // namespace

LevelCurve fit_two_parts(std::span<const CurvePoint> points)
{
    LevelCurve curve;
    if (points.size() < kPartsFewest) return curve;
    curve.t0            = points.front().t;
    const double length = points.back().t - curve.t0;
    if (!(length > 0)) return curve;
    Trial start = best_start(points, curve.t0, length);
    if (!std::isfinite(start.rest)) return curve;
    const NormalSums at   = settled(points, curve.t0, start.p);
    const bool       fast = start.p[3] <= start.p[4];
    curve.two             = true;
    curve.level           = start.p[0];
    curve.a = start.p[fast ? 1 : 2], curve.a2 = start.p[fast ? 2 : 1];
    curve.tau = std::exp(start.p[fast ? 3 : 4]), curve.tau2 = std::exp(start.p[fast ? 4 : 3]);
    curve.squares = at.rest;
    const auto l  = lower_factor(at.matrix);
    // At the long end, or with both parts alike, the series does not hold two.
    curve.found = l && curve.tau2 < kTauSlow * length && curve.tau2 > 1.2 * curve.tau &&
                  curve.tau > kTauFast / 4 * length;
    if (!curve.found) return curve;
    // First entry of the inverse: |L^-1 e1|^2.
    double square = 0;
    for (const double x : solve_lower(*l, Five{1, 0, 0, 0, 0}))
        square += x * x;
    curve.level_se = std::sqrt(square * at.rest / (static_cast<double>(points.size()) - 5));
    return curve;
}

} // namespace engine
