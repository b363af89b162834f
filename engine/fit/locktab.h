#pragma once
// Lock washer: a tang is bent where it stands over a slot of the nut. With equally spaced slots and tangs a
// pair meets every 360/lcm(slots, tangs) degrees. If none stands over a slot the nut is TIGHTENED to the
// next, never loosened (common practice: a loosened nut has lost its zero). Source: tang counts [KOYO_203E]
// [NSK_E1102], four slots [SKF_2018]; the step is computed.
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/metrology/verdict.h"

#include <optional>

namespace engine {

struct LockTab {
    int                        slots = 4;  ///< 1..12
    int                        tangs = 13; ///< 1..60
    Degrees                    turned;     ///< angle of the nut from zero, 0..1440
    std::optional<Degrees>     gap;   ///< still to turn until a tang meets a slot, 0..step; not read: any
    std::optional<Degrees>     limit; ///< most the nut may be turned
    std::optional<ThreadPitch> pitch; ///< 0.2..12
};

struct LockTabFigures {
    Degrees                    step;  ///< between two places where a tang can be bent
    Degrees                    extra; ///< the gap as read, else the whole step (worst case)
    Degrees                    final_angle;
    std::optional<Millimetres> extra_travel; ///< with a pitch
    /// Against the limit: inside; outside; undecided when the gap is not read and the step may pass the
    /// limit. Inside where there is no limit.
    Verdict verdict = Verdict::inside;
};

/// Fails: Fault::out_of_range.
[[nodiscard]] Result<Degrees>        lock_step(int slots, int tangs);
[[nodiscard]] Result<LockTabFigures> lock_tab(const LockTab& tab);

} // namespace engine
