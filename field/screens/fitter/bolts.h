#pragma once
// Bolting down: bolt by bolt, crosswise, in passes. The last pass is what the record keeps, bolt by bolt.
#include "field/drawing/bolt_pattern.h"
#include "field/kit/ui.h"
#include "field/screens/fitter/step_view.h"

namespace field::screens {

struct PassView {
    std::string words;     ///< "first pass"
    std::string torque;    ///< "50 N·m"
    double      share = 0; ///< done, 0 to 1
};

struct BoltsView {
    StepView              step;
    drawing::BoltPicture  bolts;
    std::string           title;        ///< "Bolt 3 of 4, second pass"
    std::string           torque, unit; ///< "99", "N·m"
    std::string           then;         ///< "then 165"
    std::vector<PassView> passes;
    int                   pass       = 0;     ///< the one in hand
    bool                  set_wrench = false; ///< last pass: the wrench's setting is asked for first
    std::string ask, next_slot; ///< what the next click of the last pass records; no slot in earlier passes
    bool        clicks = false; ///< the main action is a bolt
};

[[nodiscard]] BoltsView view_of_bolts(const ViewContext& context, const engine::JobState& job,
                                      const StepInHand& state);
[[nodiscard]] StepAsk   draw_bolts(kit::Ui& ui, StepInHand& state, const BoltsView& view);

} // namespace field::screens
