#pragma once
// Temperature over running time while a shaft runs in: what was read as dots on a line, what is expected as a
// dashed line when the engine gives it, the stop limit as a zone. Axes come from the data.
#include "engine/base/quantity.h"
#include "field/drawing/sketch.h"

#include <optional>

namespace field::drawing {

struct HeatPoint {
    engine::Hours   at;
    engine::Celsius heat;
};
struct HeatLine {
    std::string            name;          ///< position, "A"
    std::vector<HeatPoint> read;          ///< in order of time
    std::vector<HeatPoint> expected;      ///< may be empty
    bool                   heavy = false; ///< the position in hand
};
struct HeatPicture {
    std::vector<HeatLine>          lines;
    std::optional<engine::Celsius> stop;    ///< stop above it
    std::optional<engine::Celsius> ambient; ///< surrounding air
    engine::Hours                  planned{4};
    std::string                    word_stop = "stop at", word_air = "air", word_empty = "no reading yet";
};
[[nodiscard]] Sketch sketch(const HeatPicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
