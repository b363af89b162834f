#pragma once
// The keypad of our own: keys of at least 20 mm, 3 mm apart, four rows of four (three of six on a low glass).
#include "field/kit/button.h"
#include "field/kit/keypad_state.h"

#include <string>

namespace field::kit {

struct KeypadOffer {
    std::string instrument;   ///< its tag on a key of its own ("M-07"); empty: no such key
    bool        signs{false}; ///< a minus key, for temperatures and offsets
    bool        enter{true};  ///< false: the main action takes what was typed, so Enter would do nothing
    bool        back{false};  ///< a Back key: upright screens, where the pad covers the small buttons
};
struct KeypadTap {
    bool entered{}; ///< Enter, with a complete text
    bool changed{};
    bool instrument{}; ///< the instrument's key: choose another
    bool back{};
};
/// Draws in `rect` (see ScreenAreas::keypad), edits `state`, takes what a gauge typed. Targets are "key.7",
/// "key.erase", "key.enter", "key.unit", "key.frac", "key.den.16", "key.page", "key.instrument", "key.back".
/// A line typed by a gauge counts as changed, never as entered: only a finger moves a job on.
KeypadTap keypad(Ui& ui, const look::Rect& rect, KeypadState& state, const KeypadOffer& offer = {});

} // namespace field::kit
