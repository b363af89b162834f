#pragma once
// Static misalignment of two housings, put together from two planes at right angles (across and up).
//   by offsets: tan(angle) = sqrt(across^2 + up^2) / span;  by slopes: sqrt(tan^2 a + tan^2 b)
// Usual limit of self-aligning roller units: 2 degrees (common practice).
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/metrology/verdict.h"

namespace engine {

struct Offsets {
    Millimetres span;       ///< between the two places read, 10..50 000
    Millimetres across, up; ///< either sign, at most the span
    Micrometres u{200};     ///< expanded uncertainty (k = 2) of an offset, 0..5000
};

struct Slopes {
    Degrees across, up; ///< either sign, at most 45
    Degrees u{0.05};    ///< expanded uncertainty (k = 2) of a slope, 0..5
};

struct Alignment {
    Degrees angle;
    Degrees u;         ///< expanded, k = 2
    Degrees direction; ///< where it leans, looking along the shaft: 0 across, 90 up, -180..180
    Verdict verdict = Verdict::inside;
};

/// Limit 0.001..10 degrees. Fails: Fault::out_of_range.
[[nodiscard]] Result<Alignment> align_by_offsets(const Offsets& read, Degrees limit);
[[nodiscard]] Result<Alignment> align_by_slopes(const Slopes& read, Degrees limit);

} // namespace engine
