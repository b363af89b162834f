#pragma once
// How much grease and how often. The sheet of the maker goes first.
//   refill    = 0.005 g/mm2 x outer diameter x width                           [SCRIBD-GREASE] [DOCEST-RELUB]
//   interval  = kf (14e6 / (n sqrt(d)) - 4 d) hours; kf 10 ball, 5 cylindrical, 1 spherical or tapered roller
//               [TAE-RELUB]; halved for each 15 K above 70 degrees C [SCRIBD-GREASE]
//   first fill = the free space of the bearing, of grease at 0.9 g/cm3. Free space = envelope minus steel at
//               7.8 g/cm3 [MEM-GREASE]; without a mass a fifth of the envelope, a rough value from memory.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <optional>
#include <string_view>

namespace engine {

inline constexpr Hours kGreaseAges{
    32'000}; ///< no grease serves longer, by one plant's standard [DOCEST-RELUB]

enum class RollingKind { ball, cylindrical, spherical };

struct GreaseCase {
    Millimetres          bore, outer, width; ///< 5..1000; outer above bore, at most 2000; width 1..1000
    RevPerMinute         speed;              ///< 1..50 000
    Celsius              temperature{70};    ///< of the outer ring, -40..200
    RollingKind          kind = RollingKind::spherical;
    std::optional<Grams> mass; ///< of the bearing without housing
};

struct GreaseFigures {
    Grams first_fill, refill;
    Hours interval;
};

/// Fails: Fault::out_of_range, also when the interval formula has no answer (too fast for its size).
[[nodiscard]] Result<GreaseFigures> grease_for(const GreaseCase& bearing);

} // namespace engine
