#pragma once
// A flange unit held off its structure: front view with the three shim points, side view with the gap. The
// gap is drawn larger by kGapDrawn of the flange's size; it closes with the travel of the nut.
#include "engine/base/quantity.h"
#include "field/drawing/sketch.h"

#include <array>
#include <optional>

namespace field::drawing {

inline constexpr double kGapDrawn = 8; ///< the gap is drawn this many times wider than the flange is scaled

enum class ShimState { on_shims, shims_out, on_face };

struct FlangePicture {
    engine::Millimetres shaft{45};
    int                 bolts = 4;
    ShimState           state = ShimState::on_shims;
    engine::Millimetres shim{1.25}; ///< thickness of the sheet
    engine::Millimetres travel{0};  ///< what the nut has drawn up since the shims came out
    std::array<std::optional<engine::Millimetres>, 3> read;                ///< thickness read at the points
    int                                               point          = -1; ///< 0..2: the point in hand
    std::string                                       unit_says      = "mm";
    std::string                                       word_structure = "structure", word_flange = "flange";
};
/// What is left between flange and structure: never negative, 0 on its face.
[[nodiscard]] engine::Millimetres gap_left(const FlangePicture& picture);

[[nodiscard]] Sketch sketch(const FlangePicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
