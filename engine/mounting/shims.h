#pragma once
// Shims under the second of two flanged units: as thick as the turning will pull the ring, so that the flange
// lands on its face without thrust.
//   thickness = turns x pitch + what the lock tab may still ask for                      (common practice)
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <array>
#include <span>
#include <vector>

namespace engine {

/// Turns 0..4, pitch 0.2..12, allowance 0..2 mm. Fails: Fault::out_of_range.
[[nodiscard]] Result<Millimetres> shim_thickness(Turns turns, ThreadPitch pitch, Millimetres tab_allowance);
[[nodiscard]] Result<Millimetres> shim_thickness(Millimetres travel, Millimetres tab_allowance);

struct ShimPack {
    std::vector<Millimetres> leaves; ///< thickest first; a thickness may come more than once
    Millimetres              thickness;
    Millimetres              left_over; ///< wanted - thickness, never negative
};

/// The pack nearest to the wanted thickness and not above it; of those the one with the fewest leaves.
/// Worked in whole 0.1 um. Wanted 0..20 mm; stock 1..40 thicknesses of 0.01..20 mm each.
/// Fails: Fault::out_of_range, Fault::bad_input for an empty stock.
[[nodiscard]] Result<ShimPack> fewest_leaves(Millimetres wanted, std::span<const Millimetres> stock);

/// A thickness and how many of it lie at hand, 0..1000.
struct ShimLeaf {
    Millimetres thickness;
    int         at_hand = 1000;
};
/// The same from leaves of which only so many are at hand; the three points of a flange want three packs.
[[nodiscard]] Result<ShimPack> fewest_leaves(Millimetres wanted, std::span<const ShimLeaf> stock);

/// Shims at three points of a flange, and the plane they make.
struct ThreeShims {
    std::array<Millimetres, 3> thickness; ///< 0..20
    Millimetres                circle;    ///< diameter the points lie on, 10..5000
    std::array<Degrees, 3>     at{Degrees{0}, Degrees{120}, Degrees{240}}; ///< 20 degrees apart or more
};
struct ShimPlane {
    Millimetres centre;  ///< thickness in the middle of the circle
    Degrees     tilt;    ///< of the flange against its base
    Degrees     high_at; ///< where on the circle it stands highest, 0..360; 0 when level
    Millimetres across;  ///< highest minus lowest on the circle
};
/// tan tilt = slope of the plane through the three heights. Fails: Fault::out_of_range.
[[nodiscard]] Result<ShimPlane> plane_of(const ThreeShims& shims);

/// Leaves of a common metric assortment (common practice): 1.00, 0.50, 0.20, 0.10, 0.05 mm.
[[nodiscard]] std::vector<Millimetres> common_leaves();

} // namespace engine
