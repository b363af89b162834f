// What the readings so far say.
#include "engine/running/run_in.h"

#include "engine/base/numbers.h"
#include "engine/running/run_in_parts.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

// Common practice, all of them.
constexpr double kLevelBand     = 2.0;  // K still to come when a series counts as levelled
constexpr double kFallFromPeak  = 1.5;  // K below the peak before a series counts as falling
constexpr double kFlatFor       = 20.0; // min
constexpr double kRunawaySlope  = 0.3;  // K per minute
constexpr double kRunawayFaster = 1.1;  // times the slope before
constexpr double kRunawayRise   = 15.0; // K above the start: below it every start looks like one
constexpr double kWindowMin     = 10.0;
constexpr double kSteady        = 0.05; // K per minute, below it no limit is forecast from a straight line

/// So little change for so long that no curve is needed [RIGBRS]: twenty minutes within the band.
bool is_flat(const std::vector<CurvePoint>& points)
{
    if (points.size() < 3 || points.back().t - points.front().t < kFlatFor) return false;
    const auto [low, high] = std::minmax_element(
        points.begin(), points.end(), [](const auto& a, const auto& b) { return a.value < b.value; });
    return high->value - low->value < kLevelBand;
}

/// When the limit is met if the last readings go on as a straight line.
std::optional<double> straight_to(double limit, std::span<const CurvePoint> points)
{
    if (points.size() < 3) return std::nullopt;
    const auto   last  = points.last(3);
    const double slope = slope_of(last).value;
    if (slope < kSteady || points.back().value >= limit) return std::nullopt;
    return points.back().t + (limit - points.back().value) / slope;
}

std::int64_t mk(double kelvins)
{
    return std::llround(kelvins * 1000);
}

Verdict below(double value, double limit, double u)
{
    return decide(mk(value), mk(u), {std::nullopt, mk(limit)});
}

std::string in_minutes(const RunIn& run)
{
    if (!run.limit_at_min) return "";
    return " It would be reached about " + fixed(*run.limit_at_min, 0) + " min after the start.";
}

std::string stop_sentence(const RunInLimits& limits, const RunIn& run)
{
    if (run.stop == RunInStop::runaway) return "The temperature rises ever faster; stop the machine now.";
    return "The temperature went over " + fixed(limits.limit.value, 0) + " C; stop the machine.";
}

} // namespace

std::vector<CurvePoint> curve_points(std::span<const RunInPoint> series, double start, double end)
{
    const auto              first = std::ranges::lower_bound(series, start, {}, &RunInPoint::at_min);
    std::vector<CurvePoint> points;
    for (auto p = first; p != series.end() && p->at_min <= end; ++p)
        points.push_back({p->at_min, p->bearing.value});
    return points;
}

bool runs_away(std::span<const RunInPoint> series, Kelvins u)
{
    if (series.size() < 6 || series.back().bearing.value - series.front().bearing.value <= kRunawayRise)
        return false;
    const double end    = series.back().at_min;
    const double window = std::max(kWindowMin, end - series[series.size() - 3].at_min);
    const auto   recent = curve_points(series, end - window, end);
    const auto   before = curve_points(series, end - 2 * window, end - window);
    if (recent.size() < 3 || before.size() < 2) return false;
    const Slope now = slope_of(recent), then = slope_of(before);
    // Two standard errors of the difference, each reading being known to u/2.
    const double scatter = u.value * std::sqrt(1 / now.spread + 1 / then.spread);
    return now.value > kRunawaySlope && now.value > kRunawayFaster * then.value &&
           now.value - then.value > scatter;
}

void find_level(std::span<const RunInPoint> series, const RunInLimits& limits, RunIn& run)
{
    const auto   hottest = std::ranges::max_element(series, {}, &RunInPoint::bearing);
    const bool   falling = hottest->bearing.value - series.back().bearing.value > kFallFromPeak;
    const double end     = series.back().at_min;
    const auto   points  = curve_points(series, falling ? hottest->at_min : series.front().at_min, end);
    run.level            = series.back().bearing;
    run.level_u          = limits.u;
    if (is_flat(points)) {
        run.level_after_min = points.front().t;
        run.levelled        = true;
        return;
    }
    const LevelCurve curve = fit_level(points);
    if (!curve.found) {
        run.limit_at_min = straight_to(limits.limit.value, points);
        return;
    }
    run.level           = Celsius{curve.level};
    run.level_u         = Kelvins{2 * curve.level_se};
    run.level_after_min = curve.when_left(kLevelBand);
    run.levelled        = *run.level_after_min <= end;
    if (const auto at = curve.when_at(limits.limit.value); curve.a < 0 && at && *at > end)
        run.limit_at_min = at;
}

void give_run_in_verdict(const RunInLimits& limits, RunIn& run)
{
    const double  u     = std::hypot(limits.u.value, run.level_u.value);
    const Verdict peak  = below(run.peak.value, limits.limit.value, limits.u.value);
    const Verdict rise  = below(run.rise.value, limits.rise.value, u);
    const bool    heads = below(run.level.value, limits.limit.value, limits.u.value) != Verdict::inside;
    if (run.stop != RunInStop::none) {
        run.verdict  = Verdict::outside;
        run.sentence = stop_sentence(limits, run);
    } else if (run.levelled && rise == Verdict::outside) {
        run.verdict = Verdict::outside;
        run.sentence =
            "The temperature levels out more than " + fixed(limits.rise.value, 0) + " K above the air.";
    } else if (heads || peak == Verdict::undecided) {
        run.sentence = "The temperature is heading for its limit of " + fixed(limits.limit.value, 0) +
                       " C or too near it to tell; watch it." + in_minutes(run);
    } else if (!run.levelled) {
        run.sentence = "The temperature has not levelled out yet; go on reading." + in_minutes(run);
    } else if (rise == Verdict::undecided) {
        run.sentence = "The level is too near the allowed rise over the air to tell; read again.";
    } else {
        run.verdict = Verdict::inside;
    }
}

} // namespace engine
