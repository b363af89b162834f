#pragma once
// The parts every page between two steps is put together from: its body, title and sentences.
#include "field/kit/ui.h"

#include <string>

namespace field::screens {

/// Everything between strip and bar. Upright and without small buttons it reaches down to the main action.
[[nodiscard]] look::Rect page_body(const kit::Ui& ui, bool side_buttons);

inline constexpr float kAfterTitle_mm = 4.0F; ///< from the last baseline: room for what hangs below it

/// Each draws at the top of `box`, cuts off what it used and leaves air below.
void page_title(kit::Ui& ui, look::Rect& box, const std::string& title);
void page_line(kit::Ui& ui, look::Rect& box, const std::string& line);   ///< an instruction
void page_note(kit::Ui& ui, look::Rect& box, const std::string& note);   ///< smaller, for what is known
void page_refusal(kit::Ui& ui, look::Rect& box, const std::string& why); ///< why the last act was refused

/// A sentence of the record without the sources in brackets, which belong to the desk.
[[nodiscard]] std::string without_sources(const std::string& sentence);

} // namespace field::screens
