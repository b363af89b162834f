#pragma once
// Two housings on one shaft seen from the side or from above: how far the second is off the line of the
// first. The angle is drawn larger by kAngleDrawn.
#include "engine/base/quantity.h"
#include "field/drawing/sketch.h"

#include <array>
#include <optional>

namespace field::drawing {

inline constexpr double kAngleDrawn = 6; ///< angles between shaft and housing are drawn this much larger

struct AlignPicture {
    std::string     first = "A", second = "B";
    engine::Degrees angle; ///< + : the second stands lower (seen from the side)
    engine::Degrees limit{2};
    bool            straightedge = true; ///< straightedge over both; else a dial indicator on the second
    bool            read         = true; ///< false: nothing read yet
};
[[nodiscard]] Sketch sketch(const AlignPicture& picture, const Box& area, const Metrics& metrics);

/// Feet of one housing, feeler values under each with the bolts loose.
struct FootPicture {
    std::array<std::optional<engine::Millimetres>, 4> gap; ///< clockwise from the top left, seen from above
    engine::Millimetres                               limit{0.05};
    int                                               current  = -1; ///< 0..3: the foot in hand
    int                                               feet     = 4;  ///< 2 or 4
    int                                               decimals = 2;
};
[[nodiscard]] Sketch sketch(const FootPicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
