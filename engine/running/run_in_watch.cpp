// The readings as they come, and the series read from a sheet.
#include "engine/base/ranges.h"
#include "engine/running/run_in_parts.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr std::size_t kMostReadings  = 100'000;
constexpr double      kCheckEveryMin = 0.5; // min between two looks for a runaway

std::optional<Failure> bad_limits(const RunInLimits& limits)
{
    if (auto bad = out_of({20, 250, "C", 0}, limits.limit.value, "temperature limit")) return bad;
    if (auto bad = out_of({1, 200, "K", 0}, limits.rise.value, "limit of the rise")) return bad;
    return out_of({0, 10, "K", 0}, limits.u.value, "uncertainty of a temperature");
}

std::optional<Failure> bad_point(const RunInPoint& point)
{
    if (auto bad = out_of({0, 100'000, "min", 0}, point.at_min, "time of a reading")) return bad;
    if (auto bad = out_of({-50, 300, "C", 0}, point.bearing.value, "bearing temperature")) return bad;
    if (!point.ambient) return std::nullopt;
    return out_of({-50, 100, "C", 0}, point.ambient->value, "temperature of the air");
}

/// One row of a sheet.
class Row {
  public:
    Row(const CsvTable& table, const CsvRow& row) : table_(table), row_(row) {}

    [[nodiscard]] bool has(int column) const
    {
        return column >= 0 && !row_.cells[static_cast<std::size_t>(column)].empty();
    }
    /// 0 and the first trouble kept when the cell is no number.
    double number(int column)
    {
        const auto value = parse_number(row_.cells[static_cast<std::size_t>(column)]);
        if (value) return *value;
        if (!trouble_)
            trouble_ = failure(Fault::bad_input,
                               table_.file + ":" + std::to_string(row_.line) + ": " + value.error().message);
        return 0;
    }
    [[nodiscard]] const std::optional<Failure>& trouble() const { return trouble_; }

  private:
    const CsvTable&        table_;
    const CsvRow&          row_;
    std::optional<Failure> trouble_;
};

} // namespace

std::span<const RunInPoint> RunInWatch::this_speed() const
{
    return std::span(series_).subspan(since_);
}

Status RunInWatch::take(const RunInPoint& point)
{
    if (const auto bad = bad_limits(limits_)) return *bad;
    if (const auto bad = bad_point(point)) return *bad;
    if (series_.size() >= kMostReadings)
        return failure(Fault::bad_input, "There are more than 100 000 temperature readings; thin them out.");
    if (!series_.empty() && !(point.at_min > series_.back().at_min))
        return failure(Fault::bad_input, "The times of the temperature readings do not rise at " +
                                             fixed(point.at_min, 1) + " min; put them in order.");
    series_.push_back(point);
    if (point.new_speed) since_ = series_.size() - 1;
    if (point.bearing > series_[hottest_].bearing) hottest_ = series_.size() - 1;
    if (stop_ != RunInStop::none) return Unit{};
    const bool look = !checked_at_ || point.at_min - *checked_at_ >= kCheckEveryMin;
    if (look) checked_at_ = point.at_min, scatter_ = scatter_of(this_speed());
    if (is_over(this_speed(), limits_, scatter_)) stop_ = RunInStop::over_limit;
    if (stop_ == RunInStop::none && look && runs_away(this_speed(), limits_, scatter_))
        stop_ = RunInStop::runaway;
    if (stop_ != RunInStop::none) stop_at_min_ = point.at_min;
    return Unit{};
}

Result<RunIn> RunInWatch::judge() const
{
    if (const auto bad = bad_limits(limits_)) return *bad;
    if (series_.empty()) return failure(Fault::bad_input, "There is no temperature reading yet.");
    RunIn run;
    run.peak        = series_[hottest_].bearing;
    run.peak_at_min = series_[hottest_].at_min;
    run.stop        = stop_;
    run.runaway     = stop_ == RunInStop::runaway;
    if (stop_ != RunInStop::none) run.stop_at_min = stop_at_min_;
    find_level(this_speed(), limits_, run);
    find_rise(series_, limits_, run);
    give_run_in_verdict(limits_, run);
    return run;
}

Result<RunIn> RunInWatch::add(const RunInPoint& point)
{
    const auto taken = take(point);
    if (!taken) return taken.failure();
    return judge();
}

Result<RunIn> judge_run_in(std::span<const RunInPoint> series, const RunInLimits& limits)
{
    RunInWatch watch(limits);
    for (const RunInPoint& point : series)
        if (const auto taken = watch.take(point); !taken) return taken.failure();
    return watch.judge();
}

Result<std::vector<RunInPoint>> run_in_from(const CsvTable& table)
{
    const int minutes = table.column("minutes"), bearing = table.column("temperature_c");
    const int ambient = table.column("ambient_c"), speed = table.column("speed_rpm");
    if (minutes < 0 || bearing < 0)
        return failure(Fault::bad_input, table.file + " wants the columns minutes and temperature_c.");
    std::vector<RunInPoint> series;
    std::optional<double>   before;
    for (const CsvRow& line : table.rows) {
        Row        row(table, line);
        RunInPoint point;
        point.at_min  = row.number(minutes);
        point.bearing = Celsius{row.number(bearing)};
        if (row.has(ambient)) point.ambient = Celsius{row.number(ambient)};
        if (row.has(speed)) {
            const double now = row.number(speed);
            point.new_speed  = before && *before != now;
            before           = now;
        }
        if (row.trouble()) return *row.trouble();
        series.push_back(point);
    }
    return series;
}

} // namespace engine
