#pragma once
// Turning the nut and locking its tab: the dial that only tightens, what it draws up, and what clearance it
// leaves.
#include "field/drawing/nut_face.h"
#include "field/kit/ui.h"
#include "field/screens/fitter/step_view.h"

namespace field::screens {

struct TurnView {
    StepView            step;
    drawing::NutPicture nut;
    double              from_deg = 0;    ///< the dial cannot go below: recorded so far
    double              most_deg = 0;    ///< nor above: limit of the drawing, two turns past the sheet's most
    std::string         angle, to_go;    ///< "262°", "38° to go"
    bool                records = false; ///< the main action records where the dial stands
    std::string         drawn_label, drawn_up; ///< "1.09 of 1.25 mm"
    double              drawn_share = 0;
    std::optional<FigureView> clearance, taken; ///< left and taken, each with its interval
};

[[nodiscard]] TurnView view_of_turn(const ViewContext& context, const engine::JobState& job,
                                    const StepInHand& state);
[[nodiscard]] StepAsk  draw_turn(kit::Ui& ui, StepInHand& state, const TurnView& shown);

} // namespace field::screens
