#pragma once
// Buttons and cards. A tap counts when the finger leaves the glass inside the button; the pressed look comes
// with the next frame.
#include "field/kit/ui.h"
#include "field/look/symbols.h"

#include <span>
#include <string>
#include <string_view>

namespace field::kit {

enum class ButtonKind {
    quiet,  ///< panel with an edge
    act,    ///< layout blue, white bold letters; one a screen
    chosen, ///< blue edge and letters: this answer was given
    plain   ///< no edge until pressed
};

struct ButtonSpec {
    std::string  title;
    std::string  sub; ///< second line, smaller; may be empty
    look::Symbol symbol{look::Symbol::none};
    ButtonKind   kind{ButtonKind::quiet};
    bool         enabled{true};
    bool         desk{false};                   ///< smaller letters, for supervisor, auditor and planner only
    look::Role   role{look::Role::instruction}; ///< of the title; the main action and keys set their own
};

Touch button(Ui& ui, std::string_view id, const look::Rect& rect, const ButtonSpec& spec);

/// Panel with a thin edge; a blue one when `chosen`. Texts drawn inside an Owner of the same box must stay in
/// it.
void card(look::Canvas& canvas, const look::Rect& rect, bool chosen = false);

/// 2 to 4 answers in a grid (two columns for 2 and 4, three for 3); every answer is a target "id.0",
/// "id.1"... Returns the answer tapped, -1 for none. `chosen` is drawn with a blue edge.
struct Choices {
    std::span<const std::string> answers;
    int                          chosen{-1};
    int                          columns{0}; ///< 0: by the number of answers
};
int choices(Ui& ui, std::string_view id, const look::Rect& rect, const Choices& choices);

/// Nudge keys -5 -1 +1 +5 (repeat while held); returns the sum of what was tapped.
int steppers(Ui& ui, std::string_view id, const look::Rect& rect);

} // namespace field::kit
