#pragma once
// Running in: the temperature rises fast, then slowly, then levels out; with fresh grease it may go over a
// peak and fall to its level, which is normal. A temperature that never settles is a fault [IBRGS]. Levelling
// takes 20 min to some hours [RIGBRS], often 1 to 2 h [YR8] [BACDAN]. The level is estimated by least squares
// of T = level + a exp(-t/tau), from the peak on when the series has one. Levelled = less than 2 K of that
// curve still to come (common practice).
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
    std::optional<Celsius> ambient;    ///< air around, -50..100
};

struct RunInLimits {
    Celsius limit{
        80};          ///< stop above it; 80 is a published housing limit [YR8], the sheet goes first; 20..250
    Kelvins rise{40}; ///< most the level may lie over the air [YR8]; 1..200
    Kelvins u{1};     ///< expanded uncertainty (k = 2) of a reading, 0..10
};

struct RunIn {
    Celsius               peak;
    double                peak_at_min = 0;
    Celsius               level;           ///< as estimated; the last reading while there is no estimate
    std::optional<double> level_after_min; ///< may lie in the future: then it is a forecast
    bool                  levelled = false;
    Kelvins               rise;            ///< level over the last air reading, else over the first reading
    bool                  runaway = false; ///< rising ever faster: stop now
    /// outside: over the limit, level too far over the air, or running away. undecided: not levelled yet or
    /// too near a limit. inside: levelled below both limits.
    Verdict     verdict = Verdict::undecided;
    std::string sentence; ///< why it is not inside, for the fitter; empty when inside
};

/// May be asked while the test runs, from one reading on. Fails: Fault::bad_input (no reading, minutes that
/// do not rise), Fault::out_of_range.
[[nodiscard]] Result<RunIn> judge_run_in(std::span<const RunInPoint> series, const RunInLimits& limits);

/// Columns minutes, temperature_c and, if there, ambient_c. Fails: Fault::bad_input naming file and line.
[[nodiscard]] Result<std::vector<RunInPoint>> run_in_from(const CsvTable& table);

} // namespace engine
