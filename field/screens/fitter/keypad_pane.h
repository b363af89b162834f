#pragma once
// Reading or code being typed: our keypad beside the drawing (wide) or below the reading (upright).
#include "field/screens/fitter/step_picture.h"
#include "field/screens/fitter/step_view.h"

namespace field::screens {

[[nodiscard]] StepAsk draw_keypad_pane(kit::Ui& ui, StepInHand& state, const StepView& view,
                                       const StepPicture& picture);

} // namespace field::screens
