#pragma once
// The cartridge of an expansion unit in its housing: float left and right to scale among each other, the way
// the shaft will grow, and where the cartridge should stand.
#include "engine/base/quantity.h"
#include "field/drawing/bearing_section.h"
#include "field/drawing/sketch.h"

namespace field::drawing {

struct ExpansionPicture {
    BearingData         bearing;
    engine::Millimetres left{3}, right{3}; ///< gaps as read; their sum is the float
    engine::Millimetres set_off{0}; ///< where the middle should stand: + to the right of the housing's middle
    engine::Millimetres growth{0};  ///< + : the shaft grows to the right here
    bool                read = true; ///< false: nothing read yet, cartridge drawn in the middle, no numbers
    std::string         unit_says   = "mm";
    std::string         word_growth = "grows", word_target = "target";
};
/// How far the cartridge stands right of the middle: (left - right) / 2.
[[nodiscard]] engine::Millimetres off_middle(const ExpansionPicture& picture);

[[nodiscard]] Sketch sketch(const ExpansionPicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
