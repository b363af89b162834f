#pragma once
// The drawing of a step, to scale, from the unit and the readings so far.
#include "field/kit/ui.h"
#include "field/screens/fitter/step_view.h"

#include <functional>

namespace field::screens {

/// Draws itself into a box of the glass.
using StepPicture = std::function<void(look::Canvas&, const look::Rect&)>;

/// Picks and fills the drawing by the step's screen name; a cutaway with nothing in focus where it has none
/// of its own.
[[nodiscard]] StepPicture picture_of(const ViewContext& context, const engine::JobState& job,
                                     const StepInHand& state, const StepView& view);

} // namespace field::screens
