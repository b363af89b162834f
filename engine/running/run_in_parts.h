#pragma once
// Parts of the run-in judgement. Private to this room.
#include "engine/running/levelling.h"
#include "engine/running/run_in.h"

namespace engine {

[[nodiscard]] std::vector<CurvePoint> curve_points(std::span<const RunInPoint> series, double start,
                                                   double end);

/// Rising, hot, and faster than the window before by more than the scatter of readings of uncertainty u.
[[nodiscard]] bool runs_away(std::span<const RunInPoint> series, Kelvins u);

/// Level, time to it and forecast; `run` holds peak and stop already.
void find_level(std::span<const RunInPoint> series, const RunInLimits& limits, RunIn& run);

void give_run_in_verdict(const RunInLimits& limits, RunIn& run);

} // namespace engine
