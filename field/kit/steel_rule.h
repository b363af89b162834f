#pragma once
// The steel rule across the top: one graduation a step, filled to where the job stands, triangles at hold
// points, a pointer under the step that is open.
#include "field/kit/ui.h"

#include <vector>

namespace field::kit {

struct SteelRule {
    int              steps{}; ///< graduations
    int              done{};  ///< steps behind us
    int              at{-1};  ///< step shown, counted from 0; -1: no pointer
    std::vector<int> holds;   ///< steps (from 0) that end with another person's release
};
void steel_rule(look::Canvas& canvas, const look::Rect& rect, const SteelRule& rule);

} // namespace field::kit
