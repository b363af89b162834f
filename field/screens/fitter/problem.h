#pragma once
// "Problem" on every step: a reason, never free text. Ends in held, in skipped with a decision, or back at
// zero.
#include "field/kit/ui.h"
#include "field/screens/view_context.h"

namespace field::screens {

enum class ProblemEnd { ask, skip, back_to_zero };

struct ProblemState {
    engine::StepRef at;
    std::string     reason; ///< key, words by "reason.<key>"
    ProblemEnd      end = ProblemEnd::ask;
    std::string     refusal;
};

struct ProblemView {
    Heading     heading;
    std::string title, instruction, back;
    std::string photo,
        photo_sub; ///< button that takes a picture of what is in the way, and how many there are
    std::string picked, ends_line; ///< once a reason is picked: its words, and what to pick next
    std::vector<std::pair<std::string, std::string>> reasons; ///< key, words
    std::vector<std::pair<ProblemEnd, std::string>>  ends;    ///< those this step allows
    std::string                                      main_title, main_sub;
    bool                                             main_on = false;
};

struct ProblemAsk {
    enum class Kind { nothing, back, camera, report } kind = Kind::nothing;
};

[[nodiscard]] ProblemView view_of(const ViewContext& context, const engine::JobState& job,
                                  const ProblemState& state);
[[nodiscard]] ProblemAsk  draw(kit::Ui& ui, ProblemState& state, const ProblemView& view);

} // namespace field::screens
