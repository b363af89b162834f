#pragma once
// Letters for a passphrase: keys of at least 20 mm, every printable character of ASCII. A wide glass shows a
// whole layer (9 x 3), an upright one half a layer at a time (4 x 5).
#include "field/kit/button.h"

#include <string>
#include <string_view>

namespace field::kit {

inline constexpr int         kLetterLayers  = 4; ///< a to z, A to Z, digits and signs, rarer signs
inline constexpr std::size_t kLongestSecret = 200;

/// Pure: edited by press() and feed().
class LetterPadState {
  public:
    /// A character that can be typed is added; "space", "erase", "page" (next layer), "half" (other half of
    /// an upright layer). True when something changed.
    bool press(std::string_view key);
    /// From a keyboard that is plugged in: printable characters, '\b' erases. True when it ended the line
    /// ('\n').
    bool feed(char character);
    void clear(); ///< overwrites the text before it is let go

    [[nodiscard]] const std::string& text() const { return text_; }
    [[nodiscard]] int                layer() const { return layer_; }
    [[nodiscard]] int                half() const { return half_; }

  private:
    std::string text_;
    int         layer_{}, half_{};
};

[[nodiscard]] std::string_view characters_of(int layer);

/// What the pad needs and where: upright the main action is all that is left below it.
[[nodiscard]] look::Rect letter_pad_area(const ScreenAreas& areas);

struct LetterPadTap {
    bool changed{};
    bool back{}; ///< upright: its own Back
};
/// Targets "key.<character>", "key.page"; upright also "key.half", "key.space", "key.erase", "key.back": a
/// wide glass has room for space and erase in its bar.
LetterPadTap letter_pad(Ui& ui, LetterPadState& state);

/// A dot a character; the last one can be read, for gloves miss.
void secret_dots(look::Canvas& canvas, const look::Rect& box, std::string_view text);

} // namespace field::kit
