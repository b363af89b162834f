#pragma once
// Parts of the run-in judgement. Private to this room.
#include "engine/running/levelling.h"
#include "engine/running/run_in.h"

namespace engine {

[[nodiscard]] std::vector<CurvePoint> curve_points(std::span<const RunInPoint> series, double start,
                                                   double end);

/// Scatter of one reading (standard, K), from the last two hundred: what no parabola through four neighbours
/// explains, the middle of all. 0 with fewer than four.
[[nodiscard]] double scatter_of(std::span<const RunInPoint> series);

/// Rising, hot, and faster than the window before by more than the scatter (K) of the readings.
[[nodiscard]] bool runs_away(std::span<const RunInPoint> series, const RunInLimits& limits, double scatter);

/// Surely over the limit: a reading or the mean of a few.
[[nodiscard]] bool is_over(std::span<const RunInPoint> series, const RunInLimits& limits, double scatter);

/// Level, time to it and forecast; `run` holds peak and stop already.
void find_level(std::span<const RunInPoint> series, const RunInLimits& limits, RunIn& run);

/// Level over the last air that was read, with the uncertainty of both thermometers.
void find_rise(std::span<const RunInPoint> series, const RunInLimits& limits, RunIn& run);

void give_run_in_verdict(const RunInLimits& limits, RunIn& run);

} // namespace engine
