#pragma once
// The shaft line of a job: its positions in order along the shaft, what they are, which one is in hand.
#include "field/drawing/sketch.h"

namespace field::drawing {

struct LinePosition {
    std::string letter;
    bool        flange  = false;
    bool        current = false;
    bool        done    = false; ///< everything of this position is locked and signed
    std::string says;            ///< role above it: "fixed", "expansion"; may be empty
    bool        floats = false;  ///< expansion: a two-way arrow beside the role
};
struct LinePicture {
    std::vector<LinePosition> positions; ///< along the shaft; one to five are drawn well
};
/// x of the positions along 0..1 and the span of the driven body between two of them.
struct LineLayout {
    std::vector<double> at;
    double              body_from{}, body_to{};
};
[[nodiscard]] LineLayout line_layout(std::size_t positions);

[[nodiscard]] Sketch sketch(const LinePicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
