#pragma once
// Frequencies at which a damaged part of a rolling bearing is struck; outer ring at rest, no slip.
//   r = d cos(contact) / D
//   cage FTF = n/2 (1 - r); outer ring BPFO = N FTF; inner ring BPFI = N n/2 (1 + r);
//   element spin BSF = n D/(2 d) (1 - r^2)                                [CODE-CWRU] [CURTIN-MFS]
// A damaged element strikes both rings in one spin: some tables list 2 BSF. Real bearings slip 1 to 2 %
// (common practice).
#include "engine/base/quantity.h"
#include "engine/base/result.h"

namespace engine {

using Hertz = Quantity<struct HertzTag>;

struct RollingSet {
    int          elements = 0; ///< of one row, 3..200
    Millimetres  element;      ///< diameter of a ball or roller, 0.5..500
    Millimetres  pitch;        ///< circle through the element centres, element / 0.95 .. 5000
    Degrees      contact;      ///< 0..80
    RevPerMinute speed;        ///< of the inner ring, 0.1..200 000
};

struct DefectFrequencies {
    Hertz ftf, bpfo, bpfi, bsf;
};

/// Fails: Fault::out_of_range, also for elements that do not find room on their circle.
[[nodiscard]] Result<DefectFrequencies> defect_frequencies(const RollingSet& set);

} // namespace engine
