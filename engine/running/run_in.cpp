#include "engine/running/run_in.h"

#include "engine/base/ranges.h"
#include "engine/running/levelling.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

// Common practice, all of them.
constexpr double kLevelBand     = 2.0;  // K still to come when a series counts as levelled
constexpr double kFallFromPeak  = 1.5;  // K below the peak before a series counts as falling
constexpr double kRunawaySlope  = 0.3;  // K per minute
constexpr double kRunawayFaster = 1.1;  // times the slope before
constexpr double kRunawayRise   = 15.0; // K above the start: below it every start looks like one
constexpr double kWindowMin     = 10.0;

std::optional<Failure> bad_series(std::span<const RunInPoint> series, const RunInLimits& limits)
{
    if (auto bad = out_of({20, 250, "C", 0}, limits.limit.value, "temperature limit")) return bad;
    if (auto bad = out_of({1, 200, "K", 0}, limits.rise.value, "limit of the rise")) return bad;
    if (auto bad = out_of({0, 10, "K", 0}, limits.u.value, "uncertainty of a temperature")) return bad;
    if (series.empty()) return failure(Fault::bad_input, "There is no temperature reading yet.");
    if (series.size() > 100'000)
        return failure(Fault::bad_input, "There are more than 100 000 temperature readings; thin them out.");
    double before = -1;
    for (const RunInPoint& point : series) {
        if (auto bad = out_of({0, 100'000, "min", 0}, point.at_min, "time of a reading")) return bad;
        if (auto bad = out_of({-50, 300, "C", 0}, point.bearing.value, "bearing temperature")) return bad;
        if (point.ambient)
            if (auto bad = out_of({-50, 100, "C", 0}, point.ambient->value, "temperature of the air"))
                return bad;
        if (!(point.at_min > before))
            return failure(Fault::bad_input, "The times of the temperature readings do not rise at " +
                                                 fixed(point.at_min, 1) + " min; put them in order.");
        before = point.at_min;
    }
    return std::nullopt;
}

std::vector<CurvePoint> points_from(std::span<const RunInPoint> series, double start, double end)
{
    std::vector<CurvePoint> points;
    for (const RunInPoint& p : series)
        if (p.at_min >= start && p.at_min <= end) points.push_back({p.at_min, p.bearing.value});
    return points;
}

/// Rising, hot, and faster than the window before.
bool runs_away(std::span<const RunInPoint> series)
{
    if (series.size() < 6) return false;
    const double end    = series.back().at_min;
    const double window = std::max(kWindowMin, end - series[series.size() - 3].at_min);
    const auto   recent = points_from(series, end - window, end);
    const auto   before = points_from(series, end - 2 * window, end - window);
    if (recent.size() < 3 || before.size() < 2) return false;
    const double now = slope_of(recent);
    return now > kRunawaySlope && now > kRunawayFaster * slope_of(before) &&
           series.back().bearing.value - series.front().bearing.value > kRunawayRise;
}

Celsius air_of(std::span<const RunInPoint> series)
{
    for (std::size_t i = series.size(); i > 0; --i)
        if (series[i - 1].ambient) return *series[i - 1].ambient;
    return series.front().bearing; // a cold bearing stands at the temperature of its air
}

/// So little change for so long that no curve is needed [RIGBRS]: twenty minutes within the band.
bool is_flat(const std::vector<CurvePoint>& points)
{
    if (points.size() < 3 || points.back().t - points.front().t < 20) return false;
    const auto [low, high] = std::minmax_element(
        points.begin(), points.end(), [](const auto& a, const auto& b) { return a.value < b.value; });
    return high->value - low->value < kLevelBand;
}

void find_level(std::span<const RunInPoint> series, RunIn& run)
{
    const Celsius last    = series.back().bearing;
    const bool    falling = run.peak.value - last.value > kFallFromPeak;
    const double  end     = series.back().at_min;
    auto          points  = points_from(series, falling ? run.peak_at_min : 0, end);
    const auto    curve   = fit_level(points);
    run.level             = last;
    if (is_flat(points)) {
        run.level           = last;
        run.level_after_min = points.front().t;
        run.levelled        = true;
        return;
    }
    if (!curve.found) return;
    run.level           = Celsius{curve.level};
    run.level_after_min = curve.when_left(kLevelBand);
    run.levelled        = *run.level_after_min <= end;
}

std::int64_t mk(double kelvins)
{
    return std::llround(kelvins * 1000);
}

Verdict below(double value, double limit, Kelvins u)
{
    return decide(mk(value), mk(u.value), {std::nullopt, mk(limit)});
}

void give_verdict(const RunInLimits& limits, RunIn& run)
{
    const Verdict peak = below(run.peak.value, limits.limit.value, limits.u);
    const Verdict rise = below(run.rise.value, limits.rise.value, limits.u);
    const bool    hot  = below(run.level.value, limits.limit.value, limits.u) != Verdict::inside;
    if (run.runaway) {
        run.verdict  = Verdict::outside;
        run.sentence = "The temperature rises ever faster; stop the machine now.";
    } else if (peak == Verdict::outside) {
        run.verdict  = Verdict::outside;
        run.sentence = "The temperature went over " + fixed(limits.limit.value, 0) + " C; stop the machine.";
    } else if (run.levelled && rise == Verdict::outside) {
        run.verdict = Verdict::outside;
        run.sentence =
            "The temperature levels out more than " + fixed(limits.rise.value, 0) + " K above the air.";
    } else if (hot || peak == Verdict::undecided) {
        run.sentence = "The temperature is heading for its limit of " + fixed(limits.limit.value, 0) +
                       " C or too near it to tell; watch it.";
    } else if (!run.levelled) {
        run.sentence = "The temperature has not levelled out yet; go on reading.";
    } else if (rise == Verdict::undecided) {
        run.sentence = "The level is too near the allowed rise over the air to tell; read again.";
    } else {
        run.verdict = Verdict::inside;
    }
}

} // namespace

Result<RunIn> judge_run_in(std::span<const RunInPoint> series, const RunInLimits& limits)
{
    if (const auto bad = bad_series(series, limits)) return *bad;
    const auto hottest = std::max_element(series.begin(), series.end(),
                                          [](const auto& a, const auto& b) { return a.bearing < b.bearing; });
    RunIn      run;
    run.peak        = hottest->bearing;
    run.peak_at_min = hottest->at_min;
    run.runaway     = runs_away(series);
    find_level(series, run);
    run.rise = between(run.level, air_of(series));
    give_verdict(limits, run);
    return run;
}

Result<std::vector<RunInPoint>> run_in_from(const CsvTable& table)
{
    const int minutes = table.column("minutes"), bearing = table.column("temperature_c");
    const int ambient = table.column("ambient_c");
    if (minutes < 0 || bearing < 0)
        return failure(Fault::bad_input, table.file + " wants the columns minutes and temperature_c.");
    std::vector<RunInPoint> series;
    for (const CsvRow& row : table.rows) {
        const auto cell = [&](int column) { return row.cells[static_cast<std::size_t>(column)]; };
        const auto at   = parse_number(cell(minutes));
        const auto hot  = parse_number(cell(bearing));
        if (!at || !hot)
            return failure(Fault::bad_input, table.file + ":" + std::to_string(row.line) + ": " +
                                                 (at ? hot.error().message : at.error().message));
        RunInPoint point{*at, Celsius{*hot}, std::nullopt};
        if (ambient >= 0 && !cell(ambient).empty()) {
            const auto air = parse_number(cell(ambient));
            if (!air)
                return failure(Fault::bad_input,
                               table.file + ":" + std::to_string(row.line) + ": " + air.error().message);
            point.ambient = Celsius{*air};
        }
        series.push_back(point);
    }
    return series;
}

} // namespace engine
