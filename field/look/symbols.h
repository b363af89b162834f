#pragma once
// Symbols drawn with lines and shapes, never typed, so that they look the same on every machine. A verdict is
// told by its outline first: disc inside, diamond undecided, octagon outside; colour only helps.
#include "field/look/canvas.h"

#include <optional>

namespace field::look {

enum class Symbol {
    none,
    inside,    ///< disc with a tick
    undecided, ///< diamond with a question mark; also "watch"
    outside,   ///< octagon with a bar
    held,      ///< square hatched at 45 degrees: waits for another person
    not_done,  ///< hollow square
    here,      ///< play triangle: here, now
    camera,
    gear,
    backspace,
    arrow_left,
    arrow_right,
    arrow_up,
    arrow_down
};

/// `size_mm` is the height. Without a colour the palette's own is taken; verdicts in ink pass `ink`.
void draw_symbol(Canvas& canvas, Symbol symbol, Point centre, float size_mm,
                 std::optional<Colour> colour = {});

/// The alert triangle with its exclamation mark, for hazard panels only: letters' colour on the panel's
/// ground.
void draw_hazard_triangle(Canvas& canvas, Point centre, float size_mm, const HazardColours& colours);

} // namespace field::look
