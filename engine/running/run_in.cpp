// What the readings so far say.
#include "engine/running/run_in.h"

#include "engine/base/numbers.h"
#include "engine/running/level_belief.h"
#include "engine/running/run_in_parts.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace engine {
namespace {

// Common practice, all of them.
constexpr double      kLevelBand     = 2.0;  // K still to come when a series counts as levelled
constexpr double      kFallFromPeak  = 1.5;  // K below the peak before a series counts as falling
constexpr double      kFlatFor       = 20.0; // min
constexpr double      kRunawaySlope  = 0.3;  // K per minute
constexpr double      kRunawayFaster = 1.1;  // times the slope before
constexpr double      kRunawayRise   = 15.0; // K above the start: below it every start looks like one
constexpr double      kSure          = 5.0;  // times the doubt: many looks in one run
constexpr double      kSureSoon      = 3.0;  // the same when the limit is near
constexpr double      kSoonMin       = 15.0; // min to the limit, as it rises now
constexpr double      kCountsAs      = 10;   // readings
constexpr double      kLevelSlope    = 2.0;  // K per hour at which a series counts as levelled
constexpr double      kAirMoves = 0.5; // K, from which a level by the readings of the bearing alone is off
constexpr double      kLeastScatter   = 0.15;   // K, load and draught move a housing by so much
constexpr double      kMiddleOfNormal = 0.6745; // median size of a standard normal deviate
constexpr std::size_t kScatterOf      = 200;    // readings
constexpr std::array<double, 4> kWindowsMin{10, 15, 20, 30};
constexpr double kSteady = 0.05; // K per minute, below it no limit is forecast from a straight line

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

double mean_of(const std::vector<CurvePoint>& points)
{
    double mean = 0;
    for (const CurvePoint& p : points)
        mean += p.value / static_cast<double>(points.size());
    return mean;
}

Verdict interval_below(const std::optional<Kelvins>& low, const std::optional<Kelvins>& high, double limit)
{
    if (!low || !high) return Verdict::undecided;
    if (mk(low->value) > mk(limit)) return Verdict::outside;
    return mk(high->value) <= mk(limit) ? Verdict::inside : Verdict::undecided;
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

double scatter_of(std::span<const RunInPoint> series)
{
    const auto          last = series.last(std::min(series.size(), kScatterOf));
    std::vector<double> off;
    for (std::size_t i = 0; i + 3 < last.size(); ++i) {
        const auto four = last.subspan(i, 4);
        double     sum = 0, squares = 0;
        for (std::size_t k = 0; k < 4; ++k) {
            double apart = 1; // of a third divided difference
            for (std::size_t other = 0; other < 4; ++other)
                if (other != k) apart *= four[k].at_min - four[other].at_min;
            sum += four[k].bearing.value / apart, squares += 1 / (apart * apart);
        }
        off.push_back(std::abs(sum) / std::sqrt(squares));
    }
    if (off.empty()) return 0;
    const auto middle = off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2);
    std::ranges::nth_element(off, middle);
    return *middle / kMiddleOfNormal;
}

bool runs_away(std::span<const RunInPoint> series, const RunInLimits& limits, double scatter)
{
    if (series.size() < 6 || series.back().bearing.value - series.front().bearing.value <= kRunawayRise)
        return false;
    // Few readings tell little of their scatter: half the thermometer's uncertainty counts as a few more.
    const auto   told  = static_cast<double>(std::min(series.size(), kScatterOf));
    const double half  = limits.u.value / 2;
    const double one   = std::sqrt((kCountsAs * half * half + told * scatter * scatter) / (kCountsAs + told));
    const double end   = series.back().at_min;
    const double three = end - series[series.size() - 3].at_min;
    for (const double minutes : kWindowsMin) {
        const double window = std::max(minutes, three);
        const auto   recent = curve_points(series, end - window, end);
        const auto   before = curve_points(series, end - 2 * window, end - window);
        if (recent.size() < 3 || before.size() < 2) continue;
        const Slope  now = slope_of(recent), then = slope_of(before);
        const double doubt = one * std::sqrt(1 / now.spread + kRunawayFaster * kRunawayFaster / then.spread);
        if (now.value <= kRunawaySlope) continue;
        // Minutes before the limit less proof is enough.
        const bool   soon = series.back().bearing.value + kSoonMin * now.value > limits.limit.value;
        const double sure = soon ? kSureSoon : kSure;
        if (now.value - kRunawayFaster * then.value > sure * doubt) return true;
    }
    return false;
}

bool is_over(std::span<const RunInPoint> series, const RunInLimits& limits, double scatter)
{
    for (const std::size_t count : {std::size_t{1}, std::size_t{3}, std::size_t{5}}) {
        if (series.size() < count) continue;
        double mean = 0;
        for (const RunInPoint& point : series.last(count))
            mean += point.bearing.value / static_cast<double>(count);
        const double noise = kSure * scatter / std::sqrt(static_cast<double>(count));
        if (mk(mean) > mk(limits.limit.value + std::hypot(limits.u.value, noise))) return true;
    }
    return false;
}

namespace {

/// The reading from which the series only falls, when it surely does: smoothed over three, so that noise
/// makes no peak.
std::optional<std::size_t> falls_from(std::span<const RunInPoint> series, double scatter)
{
    if (series.size() < 5) return std::nullopt;
    const auto smooth = [&](std::size_t i) {
        return (series[i - 1].bearing.value + series[i].bearing.value + series[i + 1].bearing.value) / 3;
    };
    std::size_t hottest = 1;
    for (std::size_t i = 1; i + 1 < series.size(); ++i)
        if (smooth(i) > smooth(hottest)) hottest = i;
    const double fallen = smooth(hottest) - smooth(series.size() - 2);
    if (fallen <= kFallFromPeak + kSure * scatter) return std::nullopt;
    return hottest;
}

bool air_moves(const std::vector<CurvePoint>& air)
{
    if (air.empty()) return false;
    const auto [low, high] = std::ranges::minmax_element(air, {}, &CurvePoint::value);
    return high->value - low->value > kAirMoves;
}

void take_belief(std::span<const RunInPoint> series, double start, const RunInLimits& limits, RunIn& run)
{
    LevelSeries asked;
    asked.from_peak = start > series.front().at_min;
    asked.scatter   = std::max(limits.u.value / 4, kLeastScatter);
    asked.points    = curve_points(series, start, series.back().at_min);
    for (const RunInPoint& point : series)
        if (point.ambient && point.at_min >= start) asked.air.push_back({point.at_min, point.ambient->value});
    const LevelBelief belief = level_belief(asked);
    if (!belief.found) return;
    run.slope_k_h  = belief.slope;
    run.levelled   = belief.still_high < kLevelBand && belief.slope_high < kLevelSlope;
    const double u = limits.u.value;
    if (run.model == "none" || air_moves(asked.air)) run.level = Celsius{belief.level};
    const double low  = belief.level - std::hypot(u, belief.level - belief.low);
    const double high = belief.level + std::hypot(u, belief.high - belief.level);
    run.level_low     = Celsius{std::min(low, run.level.value)};
    run.level_high    = Celsius{std::max(high, run.level.value)};
}

} // namespace

void find_level(std::span<const RunInPoint> series, const RunInLimits& limits, RunIn& run)
{
    const auto   peak      = falls_from(series, scatter_of(series));
    const double end       = series.back().at_min;
    const double start     = peak ? series[*peak].at_min : series.front().at_min;
    const auto   points    = curve_points(series, start, end);
    run.level              = series.back().bearing;
    run.level_u            = limits.u;
    run.model              = "none";
    const LevelCurve curve = fit_level(points);
    if (is_flat(points)) {
        run.model           = "flat";
        run.level           = Celsius{mean_of(points)};
        run.level_after_min = points.front().t;
    } else if (curve.found) {
        run.model           = curve.two ? "two exponentials" : "one exponential";
        run.level           = Celsius{curve.level};
        run.level_u         = Kelvins{2 * curve.level_se};
        run.level_after_min = curve.when_left(kLevelBand);
        if (const auto at = curve.when_at(limits.limit.value); curve.slope(end) > 0 && at && *at > end)
            run.limit_at_min = at;
    } else {
        run.limit_at_min = straight_to(limits.limit.value, points);
    }
    take_belief(series, start, limits, run);
}

void find_rise(std::span<const RunInPoint> series, const RunInLimits& limits, RunIn& run)
{
    for (std::size_t i = series.size(); i > 0 && !run.rise; --i)
        if (series[i - 1].ambient) run.rise = between(run.level, *series[i - 1].ambient);
    if (!run.rise) {
        run.advice = "The rise is not judged: no air temperature.";
        return;
    }
    if (!run.level_low || !run.level_high) return;
    const double below = std::hypot((run.level - *run.level_low).value, limits.u.value);
    const double above = std::hypot((*run.level_high - run.level).value, limits.u.value);
    run.rise_low       = *run.rise - Kelvins{below};
    run.rise_high      = *run.rise + Kelvins{above};
}

void give_run_in_verdict(const RunInLimits& limits, RunIn& run)
{
    const double  u    = limits.u.value;
    const Verdict peak = below(run.peak.value, limits.limit.value, u);
    const Verdict rise =
        run.rise ? interval_below(run.rise_low, run.rise_high, limits.rise.value) : Verdict::inside;
    const bool heads = below(run.level.value, limits.limit.value, u) != Verdict::inside ||
                       (run.levelled && run.level_high && mk(run.level_high->value) > mk(limits.limit.value));
    if (run.stop != RunInStop::none) {
        run.verdict  = Verdict::outside;
        run.sentence = stop_sentence(limits, run);
    } else if (run.levelled && rise == Verdict::outside) {
        run.verdict = Verdict::outside;
        run.sentence =
            "The temperature levels out more than " + fixed(limits.rise.value, 0) + " K above the air.";
    } else if (heads || peak != Verdict::inside) {
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
