#pragma once
// A correction: the old value stays readable, the new one names its reason.
#include "field/kit/keypad_state.h"
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct CorrectState {
    std::string      entry_id;
    kit::KeypadState keypad;
    std::string      reason; ///< key; words by "reason.<key>"
    std::string      refusal;
    bool             started = false; ///< the keypad stands in the unit of the reading
};

struct CorrectView {
    std::string                 title, back, main_title;
    bool                        signs = false; ///< values below zero can be
    Heading                     heading;
    std::string                 what, old_value, why; ///< why: words of the reason picked
    std::vector<engine::UnitOf> units;
    std::vector<std::pair<std::string, std::string>>
                reasons; ///< key, words: misread, wrong unit, wrong place, wrong instrument
    bool        main_on = false;
    std::string main_sub;
};

struct CorrectAsk {
    enum class Kind { nothing, back, record } kind = Kind::nothing;
};

[[nodiscard]] CorrectView view_of(const ViewContext& context, const engine::JobState& job,
                                  const CorrectState& state);
[[nodiscard]] CorrectAsk  draw(kit::Ui& ui, CorrectState& state, const CorrectView& view);

} // namespace field::screens
