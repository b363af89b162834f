#pragma once
// Parts every step's screen is put together from.
#include "field/kit/main_bar.h"
#include "field/screens/fitter/step_view.h"

namespace field::screens {

/// Strip, steel rule and the usual bar; returns what was tapped there.
kit::BarTap frame_of_step(kit::Ui& ui, const StepView& view);
/// Title, instruction and caution from the top of the box; returns the height used.
float words_of_step(kit::Ui& ui, const look::Rect& box, const StepView& view);
/// Leaves out the instruction, then the caution too, when the box would be too full with what is asked below
/// them: they were read when the step came up.
void make_room(kit::Ui& ui, const look::Rect& box, float needed_mm, StepView& view);
/// Why the last act was refused, or why the step is held; returns the height used, 0 when there is nothing to
/// say.
float trouble_of_step(kit::Ui& ui, const look::Rect& box, const StepInHand& state, const StepView& view);
/// What the bar's taps mean for a step.
[[nodiscard]] StepAsk ask_of_bar(const kit::BarTap& tap, const StepView& view);
/// A figure with its gauge when it has limits; returns the height used.
float figure_of_step(kit::Ui& ui, const look::Rect& box, const FigureView& figure);
[[nodiscard]] std::optional<engine::Verdict> shown_verdict(engine::Verdict verdict, bool given);

} // namespace field::screens
