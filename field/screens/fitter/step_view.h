#pragma once
// What a step's screen shows, worked out from the job before anything is drawn. The plain step, and every
// step with an input of its own, start from this.
#include "field/kit/keypad_state.h"
#include "field/screens/view_context.h"

#include <optional>
#include <utility>

namespace field::screens {

using AskSlot = std::pair<std::string, std::string>; ///< ask, slot

/// What the fitter has done on this screen that is not recorded yet. Plain data; thrown away without loss of
/// a record.
struct StepInHand {
    engine::StepRef        at;
    std::optional<AskSlot> typing; ///< the keypad is open for this one
    kit::KeypadState       keypad;
    std::string            tool; ///< instrument picked for the open reading
    engine::UnitOf         unit_kept =
        engine::UnitOf::text;      ///< unit of the last reading of this step; text: none yet
    double         dial_deg   = 0; ///< where the dial stands (turn and lock)
    bool           dial_moved = false;
    int            pass       = 0; ///< bolting pass, 0 is the first
    int            clicked    = 0; ///< bolts done in this pass
    std::string    wrench;         ///< what the torque wrench was set to, as typed
    engine::UnitOf wrench_unit = engine::UnitOf::newton_metre;
    std::string    refusal; ///< why the last act was refused; gone with the next one
};

struct OptionView {
    std::string value, words;
    bool        chosen = false;
};

/// One thing the step asks for.
struct CellView {
    std::string             ask, slot, id; ///< id for scripts: "cell.seat.I.across"
    engine::AskKind         kind = engine::AskKind::reading;
    std::string             label;
    std::string             value; ///< as entered, or empty
    std::string             unit;
    bool                    given    = false;
    bool                    optional = false;
    engine::Verdict         verdict  = engine::Verdict::inside;
    std::vector<OptionView> options;
};

struct GaugeView {
    std::optional<double> low, high; ///< limits in the unit shown
    std::optional<double> value;
    double                u        = 0;
    int                   decimals = 3;
    std::string           unit;
    engine::Verdict       verdict = engine::Verdict::inside;
};

struct FigureView {
    std::string label, value;
    GaugeView   gauge;
};

struct RuleView { ///< the steel rule: one graduation a step of this position and of the job
    int              steps = 0;
    int              done  = 0;
    int              here  = 0; ///< index of the step on the screen
    std::vector<int> holds;
};

struct StepView {
    Heading                                            heading;
    RuleView                                           rule;
    std::string                                        screen; ///< the step's kind of picture and input
    std::string                                        title, instruction;
    std::optional<std::pair<std::string, std::string>> caution; ///< signal word, text
    std::vector<CellView>                              cells;
    std::optional<std::size_t> open_cell; ///< first reading, choice or code still to give
    std::vector<FigureView>    figures;
    std::vector<std::string>   advice;
    int                        photos = 0, photos_wanted = 0;
    std::string                photo_ask;
    engine::StepState          state = engine::StepState::open;
    std::string                held_because;
    bool                       asked = false; ///< a release was asked for already
    std::string                main_title, main_sub;
    bool                       main_on      = false;
    int                        left_to_give = 0;
    // the open reading, when the keypad is open
    std::string                 typing_label, typing_tool;
    std::optional<GaugeView>    typing_gauge;
    std::vector<engine::UnitOf> typing_units;
};

[[nodiscard]] StepView view_of(const ViewContext& context, const engine::JobState& job,
                               const StepInHand& state);

/// Instruments of the catalogue fit for a reading: right kind, in calibration, and of a range that holds the
/// size expected (lengths in mm) where it is known and any does.
[[nodiscard]] std::vector<std::string> tools_for(const ViewContext& context, engine::Tool tool,
                                                 std::optional<double> expected);

/// Opens the keypad for a reading or code of the step: empty, in the unit people here read it with, with an
/// instrument that fits.
void open_keypad(StepInHand& state, const ViewContext& context, const engine::Plan& plan,
                 const AskSlot& asked);
/// The next instrument that fits the open reading.
void pick_next_tool(StepInHand& state, const ViewContext& context, const engine::Plan& plan);

/// What the user wants of a step's screen.
struct StepAsk {
    enum class Kind {
        nothing,
        back,
        problem,
        camera,
        close,
        open_cell,
        next_tool,
        reading,
        choice,
        code,
        release,
        record_turn,
        bolt_clicked
    } kind = Kind::nothing;
    std::string    ask, slot; ///< camera, reading, choice, code
    std::string    value;     ///< choice: option; reading and code: text as typed
    engine::UnitOf unit = engine::UnitOf::mm;
};

} // namespace field::screens
