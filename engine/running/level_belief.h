#pragma once
// What the level may be, as far as the readings tell. A slow part behind the fast one need not show in one
// fit, and one fit's scatter says nothing of it. So every pair of time constants is tried (no part, one,
// two), each with its own level and the doubt of it, weighted by how well it explains the readings (normal
// linear model with a wide prior, textbook form; the mixture's 2.5 and 97.5 % are the interval).
//   time constants  3 to 360 min, any as likely as any on a log scale: levelling takes 20 min to some hours
//                   [RIGBRS] [YR8]
//   parts           about 30 K, of either sign (common practice)
// Where the air was read, its changes reach the bearing late, through the slower part: that is taken off.
// Private to this room.
#include "engine/running/levelling.h"

#include <vector>

namespace engine {

struct LevelSeries {
    std::vector<CurvePoint> points;            ///< min, C; from the start of the rise or the peak
    std::vector<CurvePoint> air;               ///< min, C; empty: not read, taken as steady
    bool                    from_peak = false; ///< the points begin at a peak
    double                  scatter   = 0.25;  ///< K, of one reading, as expected beforehand
};

struct LevelBelief {
    bool   found = false;                ///< false: fewer than three points
    double level = 0, low = 0, high = 0; ///< middle and 95 % interval, with the air as it is at the last
    double slope = 0, slope_high = 0;    ///< K per hour at the last point; 97.5 % of its size
    double still_high = 0;               ///< K still to come, 97.5 % of its size
    double scatter    = 0;               ///< K, of one reading, as found
};

[[nodiscard]] LevelBelief level_belief(const LevelSeries& series);

} // namespace engine
