#pragma once
// What has been keyed in, without any window: pure state edited by press() and feed(). Text stays as typed,
// trailing zeros included, because they tell the resolution of the instrument. Never filled in beforehand.
#include "engine/base/numbers.h"

#include <optional>
#include <string>
#include <string_view>

namespace field::kit {

enum class PadMode {
    decimal,  ///< digits and one decimal point
    fraction, ///< inch: whole, then denominator 2..64, then numerator: "2-15/16"
    angle,    ///< whole degrees with at most one decimal
    integer,
    code ///< digits, capital letters by pages, dash
};
enum class Stage { whole, denominator, numerator }; ///< where a fraction stands
enum class Source { keys, device };                 ///< device: a gauge or scanner that types

class KeypadState {
  public:
    KeypadState() = default;
    KeypadState(PadMode mode, engine::UnitOf unit) : mode_(mode), first_mode_(mode), unit_(unit) {}

    /// Keys: "0".."9", ".", "-", "A".."Z", "erase", "frac", "unit" (mm, in, thou in turn; keeps no digits, so
    /// that a number never changes its meaning), "den.2".."den.64", "page". True when the state changed. A
    /// key that makes no sense here changes nothing.
    bool press(std::string_view key);
    /// A character from a wired gauge or scanner (',' counts as '.', '\b' erases). The first one after keys
    /// starts a fresh text. True when it ended the line ('\n'); the text stays.
    bool feed(char character);
    void clear();

    [[nodiscard]] const std::string& text() const { return text_; } ///< "49.970", "2-15/16", "M-07"
    [[nodiscard]] bool               empty() const { return text_.empty(); }
    [[nodiscard]] PadMode            mode() const { return mode_; }
    [[nodiscard]] engine::UnitOf     unit() const { return unit_; }
    [[nodiscard]] Stage              stage() const { return stage_; }
    [[nodiscard]] Source             source() const { return source_; }
    [[nodiscard]] int                page() const { return page_; } ///< of a code: 0 digits, 1.. letters
    [[nodiscard]] bool               is_length() const;
    [[nodiscard]] bool               allows(std::string_view key) const;

    /// The text as a reading; fails with one sentence while it is not complete ("15/" or "16/16" or nothing).
    [[nodiscard]] engine::Result<engine::Entered> entered() const;
    [[nodiscard]] bool                            complete() const;
    /// The same length in the other unit ("1.9673 in", "74.613 mm"); empty when there is none or not
    /// complete.
    [[nodiscard]] std::string echo() const;

  private:
    bool press_digit(char digit);
    bool press_denominator(std::string_view denominator);
    bool erase();
    bool start_fraction();
    bool next_unit();

    std::string    text_;
    PadMode        mode_{PadMode::decimal};
    PadMode        first_mode_{PadMode::decimal};
    engine::UnitOf unit_{engine::UnitOf::mm};
    Stage          stage_{Stage::whole};
    Source         source_{Source::keys};
    int            page_{};
};

inline constexpr int kLetterPages = 3; ///< A to K, L to V, W to Z
/// Letters of a page, in the order of the cells.
[[nodiscard]] std::string_view letters_of_page(int page);

} // namespace field::kit
