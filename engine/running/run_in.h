#pragma once
// Running in: the temperature rises fast, then slowly, then levels out; with fresh grease it may go over a
// peak and fall to its level, which is normal. A temperature that never settles is a fault [IBRGS]. Levelling
// takes 20 min to some hours [RIGBRS], often 1 to 2 h [YR8] [BACDAN]. The level is estimated by least squares
// of one exponential or two (a bearing fast, its housing slow), from the peak on when the series has one;
// what it may be, by every such curve the readings allow (level_belief.h), with the sensor's own uncertainty.
// Levelled = at the last reading less than 2 K still to come and less than 2 K an hour, surely (common
// practice). The rise is over the air; where no air was read it is not judged.
// A runaway is seen while it happens: rising by more than 0.3 K/min and at least 1.1 times faster than in the
// window before, by five times the doubt of the two slopes (three times where the limit is minutes away),
// with 15 K of warming behind it; windows of 10 to 30 min. Over the limit is a reading, or the mean of three
// or five, over it by more than the uncertainty and five times the scatter (common practice). Once due, a
// stop stays due.
#include "engine/base/csv.h"
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/metrology/verdict.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace engine {

struct RunInPoint {
    double                 at_min = 0; ///< minutes since the start, rising, 0..100 000
    Celsius                bearing;    ///< -50..300
    std::optional<Celsius> ambient{};  ///< air around, -50..100
    /// The machine runs at another speed from here on: the warming starts afresh.
    bool new_speed = false;
};

struct RunInLimits {
    Celsius limit{
        80};          ///< stop above it; 80 is a published housing limit [YR8], the sheet goes first; 20..250
    Kelvins rise{40}; ///< most the level may lie over the air [YR8]; 1..200
    Kelvins u{1};     ///< expanded uncertainty (k = 2) of a thermometer, 0..10
};

enum class RunInStop { none, over_limit, runaway };

struct RunIn {
    Celsius                peak;
    double                 peak_at_min = 0;
    Celsius                level;   ///< as estimated; the last reading while there is no estimate
    Kelvins                level_u; ///< expanded (k = 2), from the scatter about the curve
    std::optional<Celsius> level_low, level_high; ///< 95 %, all curves and the sensor; from three readings on
    std::optional<double>  slope_k_h;             ///< at the last reading
    std::string            model;                 ///< "none", "flat", "one exponential" or "two exponentials"
    std::optional<double>  level_after_min;       ///< may lie in the future: then it is a forecast
    std::optional<double>  limit_at_min; ///< forecast of when the limit will be reached, if it goes on so
    bool                   levelled = false;
    std::optional<Kelvins> rise;                ///< level over the last air reading; none without one
    std::optional<Kelvins> rise_low, rise_high; ///< 95 %
    bool                   runaway = false;     ///< rising ever faster, now or before: stop
    RunInStop              stop    = RunInStop::none;
    std::optional<double>  stop_at_min; ///< the first reading at which the stop was due
    /// outside: over the limit, level too far over the air, or running away. undecided: not levelled yet or
    /// too near a limit. inside: levelled below both limits; without air below the one.
    Verdict     verdict = Verdict::undecided;
    std::string sentence; ///< why it is not inside, for the fitter; empty when inside
    std::string advice;   ///< what was not judged; empty when everything was
};

/// The readings of one run-in as they come. `add` answers after each reading what stands so far; a reading
/// that is refused (Fault::out_of_range, or Fault::bad_input when its time does not lie after the last one)
/// is not kept. Up to 100 000 readings.
class RunInWatch {
  public:
    explicit RunInWatch(const RunInLimits& limits = {}) : limits_(limits) {}

    Result<RunIn> add(const RunInPoint& point); ///< take, then judge
    Status        take(const RunInPoint& point);
    /// Fails: Fault::bad_input while there is no reading, Fault::out_of_range for the limits.
    [[nodiscard]] Result<RunIn>               judge() const;
    [[nodiscard]] std::span<const RunInPoint> readings() const { return series_; }

  private:
    [[nodiscard]] std::span<const RunInPoint> this_speed() const;

    RunInLimits             limits_;
    std::vector<RunInPoint> series_;
    std::size_t             since_   = 0; ///< first reading of the present speed
    std::size_t             hottest_ = 0;
    std::optional<double>   checked_at_;
    double                  scatter_     = 0; ///< K of one reading, of the last two hundred
    RunInStop               stop_        = RunInStop::none;
    double                  stop_at_min_ = 0;
};

/// The same for a series at hand, from one reading on. Fails: as RunInWatch.
[[nodiscard]] Result<RunIn> judge_run_in(std::span<const RunInPoint> series, const RunInLimits& limits);

/// Columns minutes, temperature_c and, if there, ambient_c (may be empty) and speed_rpm (a change marks a new
/// speed). Fails: Fault::bad_input naming file and line.
[[nodiscard]] Result<std::vector<RunInPoint>> run_in_from(const CsvTable& table);

} // namespace engine
