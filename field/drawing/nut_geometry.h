#pragma once
// Lock nut and lock washer as angles. Angles are degrees clockwise from twelve o'clock seen from the nut's
// face; a right-hand nut is tightened clockwise. Nothing here draws.
#include "engine/base/quantity.h"
#include "field/drawing/plane.h"

#include <vector>

namespace field::drawing {

/// Smallest turn after which some tang again stands over some slot: 360 / lcm(slots, tangs). 360 when either
/// is not positive.
[[nodiscard]] engine::Degrees tang_step(int slots, int tangs);

struct TangOverSlot {
    int             tang{}; ///< 0.. clockwise, tang 0 stands at twelve o'clock
    int             slot{}; ///< 0.. clockwise, slot 0 stands at twelve o'clock while the nut is at zero
    engine::Degrees gap;    ///< turn of the nut that brings the slot under the tang; 0 <= gap < tang_step
};
/// The tang that a further tightening meets first. The nut is never turned back to meet one.
[[nodiscard]] TangOverSlot next_tang(int slots, int tangs, engine::Degrees turned);

/// Where a finger stands about the centre, 0 <= angle < 360. The centre itself gives 0.
[[nodiscard]] engine::Degrees touch_angle(Point centre, Point touch);
/// The nut angle that belongs to a touch: the one nearest to the present angle on whatever lap, so that the
/// knob does not jump when it passes twelve o'clock. Never below `least` (the angle last recorded).
[[nodiscard]] engine::Degrees follow_touch(engine::Degrees present, engine::Degrees touch,
                                           engine::Degrees least);

/// Full laps and what stands over them; a negative angle is lap 0, angle 0.
struct Laps {
    int             full{};
    engine::Degrees rest; ///< 0 <= rest < 360
};
[[nodiscard]] Laps laps_of(engine::Degrees angle);

struct NutShape {
    int    slots{4};
    double outer_mm{}, bore_mm{}, slot_depth_mm{}, slot_wide_mm{}; ///< radii, depth, width
};
/// Rim of the nut with its slots, turned by the angle, as a closed outline.
[[nodiscard]] Outline nut_rim(Point centre, const NutShape& shape, engine::Degrees turned);

struct TangShape {
    double root_mm{}, tip_mm{}, root_wide_mm{}, tip_wide_mm{}; ///< radii and widths
};
/// One tang of the washer, pointing outwards at the angle.
[[nodiscard]] Outline tang(Point centre, const TangShape& shape, engine::Degrees at);

} // namespace field::drawing
