#pragma once
// Parts every step's screen is put together from.
#include "field/kit/main_bar.h"
#include "field/screens/fitter/step_view.h"

namespace field::screens {

/// Strip, steel rule and the usual bar; returns what was tapped there.
kit::BarTap frame_of_step(kit::Ui& ui, const StepView& view);
/// Title, instruction and hazard panel from the top of the box; returns the height used.
float words_of_step(kit::Ui& ui, const look::Rect& box, const StepView& view);
/// The hazard panel alone; returns the height used, 0 for a step without one.
float hazard_of_step(kit::Ui& ui, const look::Rect& box, const StepView& view);

/// Where a step has room: for its words with what is asked below them, and beside them for its drawing.
struct StepRoom {
    look::Rect  words;
    look::Rect* drawing{}; ///< none upright, where everything stands in one column
};
/// When the words leave less than `needed_mm` below them, the hazard panel moves above the drawing, where the
/// hands go; if that is not enough the instruction goes, which was read when the step came up. The panel is
/// never left out: it stands as long as the act it guards.
void make_room(kit::Ui& ui, StepRoom& room, float needed_mm, StepView& view);
/// Why the last act was refused, or why the step is held; returns the height used, 0 when there is nothing to
/// say.
float trouble_of_step(kit::Ui& ui, const look::Rect& box, const StepInHand& state, const StepView& view);
[[nodiscard]] float trouble_height_mm(kit::Ui& ui, float width_mm, const StepInHand& state,
                                      const StepView& view);
/// What the bar's taps mean for a step.
[[nodiscard]] StepAsk ask_of_bar(const kit::BarTap& tap, const StepView& view);
/// A figure with its gauge when it has limits; returns the height used.
float figure_of_step(kit::Ui& ui, const look::Rect& box, const FigureView& figure);
[[nodiscard]] std::optional<engine::Verdict> shown_verdict(engine::Verdict verdict, bool given);

} // namespace field::screens
