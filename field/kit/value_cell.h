#pragma once
// Numbers with their names: the big reading with its unit, small cells of readings already taken, label-value
// lines.
#include "engine/metrology/verdict.h"
#include "field/kit/ui.h"

#include <optional>
#include <string>

namespace field::kit {

/// The reading of a screen: label at the left, number and unit at the right, on one base line at the bottom
/// of `rect`.
struct Reading {
    std::string                    label;
    std::string                    text; ///< digits as typed
    std::string                    unit;
    bool                           cursor{}; ///< a bar after the last digit: keys go here
    std::string                    echo;     ///< the same in the other unit, soft, under the label's line
    std::optional<engine::Verdict> verdict;  ///< none: ink while typed, blue when `act`
    bool                           act{};    ///< layout blue: a value to reach, or set by hand on the drawing
};
void reading(look::Canvas& canvas, const look::Rect& rect, const Reading& reading);

/// A cell of the form: label above, value below. `open`: blue edge, the next key goes here.
struct ValueCell {
    std::string                    label;
    std::string                    value; ///< empty: `prompt` in blue
    std::string                    prompt;
    std::string                    struck; ///< the old value of a correction, crossed out but readable
    std::optional<engine::Verdict> verdict;
    bool                           open{};
    bool                           framed{true};
};
void value_cell(look::Canvas& canvas, const look::Rect& rect, const ValueCell& cell);

/// "label .... value unit" on one base line; `share` (0 to 1) draws a bar below.
struct LabelledValue {
    std::string          label;
    std::string          value;
    std::string          unit;
    std::optional<float> share;
    bool                 desk{};
};
/// Returns the height used.
float labelled_value(look::Canvas& canvas, const look::Rect& rect, const LabelledValue& line);

} // namespace field::kit
