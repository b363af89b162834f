#pragma once
// The plain step: words and drawing on one side, what it asks for on the other. Covers every step that has no
// input of its own.
#include "field/screens/fitter/step_picture.h"
#include "field/screens/fitter/step_view.h"

namespace field::screens {

[[nodiscard]] StepAsk draw_step(kit::Ui& ui, StepInHand& state, const StepView& full,
                                const StepPicture& picture);

} // namespace field::screens
