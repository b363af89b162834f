#pragma once
// One sample of every drawing in every state that looks different; invented units. Tests and the gallery draw
// the same list.
#include "field/drawing/paint.h"
#include "field/drawing/sketch.h"

#include <functional>
#include <string>
#include <vector>

namespace samples {

struct Sample {
    std::string                                                                                       name;
    std::function<field::drawing::Sketch(const field::drawing::Box&, const field::drawing::Metrics&)> make;
};
[[nodiscard]] const std::vector<Sample>& all();

} // namespace samples
