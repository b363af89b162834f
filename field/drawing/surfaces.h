#pragma once
// Parts pulled apart along the shaft: which faces must be clean and dry (layout blue), which lightly oiled.
#include "field/drawing/bearing_section.h"
#include "field/drawing/sketch.h"

namespace field::drawing {

struct SurfacePicture {
    BearingData bearing;
    bool shaft_done = false, sleeve_done = false, bore_done = false; ///< cleaned faces are drawn in ink
    bool oiled           = false;                                    ///< thread and nut face have their oil
    std::string word_dry = "clean and dry", word_oil = "light oil";
    std::string word_shaft = "shaft", word_sleeve = "sleeve", word_bore = "bore", word_nut = "nut";
};
[[nodiscard]] Sketch sketch(const SurfacePicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
