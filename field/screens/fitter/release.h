#pragma once
// A held step: another person decides here, on this tablet, with badge and PIN. Two taps in two places, 13 mm
// apart.
#include "field/kit/keypad_state.h"
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct ReleaseState {
    engine::StepRef     at;
    std::string         badge;  ///< supervisor picked
    std::string         pin;    ///< digits typed; drawn as dots
    std::optional<bool> accept; ///< release or measure again
    std::string         reason; ///< key, words by "reason.<key>"
    std::string         refusal;
};

struct ReleaseView {
    std::string              back, release, again, pin; ///< words of the buttons; pin: "PIN of 205"
    Heading                  heading;
    std::string              title, because; ///< "Held: measure the seat", the sentence of the verdict
    std::string              decision;       ///< as picked so far: "Release: good enough here"
    std::vector<std::string> supervisors;    ///< badges
    std::vector<std::pair<std::string, std::string>> reasons; ///< for a release
    std::string                                      main_title, main_sub;
    bool                                             main_on = false;
};

struct ReleaseAsk {
    enum class Kind { nothing, back, sign } kind = Kind::nothing;
};

[[nodiscard]] ReleaseView view_of(const ViewContext& context, const engine::JobState& job,
                                  const ReleaseState& state);
[[nodiscard]] ReleaseAsk  draw(kit::Ui& ui, ReleaseState& state, const ReleaseView& view);

} // namespace field::screens
