#pragma once
// After two minutes away, a restart or another job: last thing done with its photo, next thing, and a look at
// the machine.
#include "field/kit/ui.h"
#include "field/screens/fitter/step_picture.h"
#include "field/screens/view_context.h"

namespace field::screens {

struct ComingBackView {
    Heading     heading;
    std::string away;                  ///< "away 41 min"
    std::string last_title, last_line; ///< step, "badge 112, 13:51"
    std::string photo;                 ///< sha256 of the last photo, or empty
    std::string next_title, next_line;
    std::string main_title, main_sub, title, question, changed, back, last_head, next_head;
};

enum class ComingBackAsk { nothing, back, changed, carry_on };

[[nodiscard]] ComingBackView view_of_return(const ViewContext& context, const engine::JobState& job,
                                            std::int64_t away_ms);
/// `photo` is the thumbnail of `view.photo` when it could be read, `picture` the drawing of the next step, or
/// empty.
[[nodiscard]] ComingBackAsk draw(kit::Ui& ui, const ComingBackView& view, look::Texture photo,
                                 const StepPicture& picture);

} // namespace field::screens
