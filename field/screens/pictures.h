#pragma once
// From the plan's data to the drawings' own: each drawing is filled in one place.
#include "engine/procedure/workbench.h"
#include "field/drawing/bearing_section.h"
#include "field/drawing/bolt_pattern.h"
#include "field/drawing/nut_face.h"
#include "field/drawing/shaft_line.h"
#include "field/screens/view_context.h"

namespace field::screens {

[[nodiscard]] drawing::BearingData bearing_of(const engine::UnitSheet& unit);
[[nodiscard]] drawing::NutPicture  nut_of(const engine::UnitSheet& unit);
/// Bolts of the housing in the engine's order of tightening.
[[nodiscard]] drawing::BoltPicture bolts_of(const engine::UnitSheet& unit);
/// The shaft line; `here` is the position in hand, or empty.
[[nodiscard]] drawing::LinePicture line_of(const ViewContext& context, const engine::JobState& job,
                                           const std::string& here);

} // namespace field::screens
