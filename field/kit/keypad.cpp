#include "field/kit/keypad.h"

#include <array>
#include <vector>

namespace field::kit {
namespace {

using look::Rect;
using look::Role;

struct Key {
    std::string  id; ///< empty: no key in this cell
    std::string  face;
    look::Symbol symbol{look::Symbol::none};
};

/// The eleven keys of the number block in reading order: 7 8 9 4 5 6 1 2 3 0 and the last one.
std::array<Key, 11> number_block(const KeypadState& state)
{
    std::array<Key, 11> keys;
    if (state.mode() == PadMode::fraction && state.stage() == Stage::denominator) {
        constexpr std::array denominators{"2", "4", "8", "16", "32", "64"};
        for (std::size_t i = 0; i < denominators.size(); ++i)
            keys[i] = {std::string("den.") + denominators[i], std::string("/") + denominators[i]};
        return keys;
    }
    if (state.mode() == PadMode::code && state.page() > 0) {
        const auto letters = letters_of_page(state.page());
        for (std::size_t i = 0; i < letters.size(); ++i)
            keys[i] = {std::string(1, letters[i]), std::string(1, letters[i])};
        return keys;
    }
    constexpr std::string_view digits = "7894561230";
    for (std::size_t i = 0; i < digits.size(); ++i)
        keys[i] = {std::string(1, digits[i]), std::string(1, digits[i])};
    if (state.mode() == PadMode::decimal || state.mode() == PadMode::angle) keys[10] = {".", "."};
    if (state.mode() == PadMode::code) keys[10] = {"-", "-"};
    return keys;
}

std::string page_face(const KeypadState& state, Ui& ui)
{
    const int next = (state.page() + 1) % (kLetterPages + 1);
    if (next == 0) return ui.say("pad.digits");
    const auto letters = letters_of_page(next);
    return std::string(1, letters.front()) + "\u2013" + std::string(1, letters.back());
}

std::string unit_face(const KeypadState& state, Ui& ui)
{
    switch (state.unit()) {
    case engine::UnitOf::inch:
        return ui.say("pad.in");
    case engine::UnitOf::thou:
        return ui.say("pad.thou");
    default:
        return ui.say("pad.mm");
    }
}

/// All sixteen cells, row by row.
std::array<Key, 16> sixteen(Ui& ui, const KeypadState& state, const KeypadOffer& offer)
{
    const auto n = number_block(state);
    Key        second, third, corner;
    if (state.mode() == PadMode::code)
        second = {"page", page_face(state, ui)};
    else if (state.is_length() && state.mode() != PadMode::integer) {
        second = {"frac", ui.say("pad.frac")};
        third  = {"unit", unit_face(state, ui)};
    }
    if (offer.back)
        corner = {"back", ui.say("pad.back")};
    else if (!offer.instrument.empty())
        corner = {"instrument", offer.instrument};
    if (offer.signs && second.id.empty()) second = {"-", "+/\u2212"};
    if (offer.back && !offer.instrument.empty() && third.id.empty()) third = {"instrument", offer.instrument};
    return {n[0],   n[1], n[2],  {"erase", ui.say("pad.erase"), look::Symbol::none},
            n[3],   n[4], n[5],  second,
            n[6],   n[7], n[8],  third,
            corner, n[9], n[10], {"enter", ui.say("pad.enter")}};
}

/// A low glass has three rows of six: the fourth row moves into the two columns at the right.
int cell_of(std::size_t key, bool low)
{
    if (!low) return static_cast<int>(key);
    constexpr std::array places{0, 1, 2, 3, 6, 7, 8, 9, 12, 13, 14, 15, 4, 10, 11, 17};
    return places[key];
}

bool is_face_key(const std::string& id)
{
    return id.size() == 1 || id.starts_with("den.");
}

Touch draw_key(Ui& ui, const Rect& box, const Key& key, bool enabled)
{
    ButtonSpec spec;
    spec.title   = key.face;
    spec.enabled = enabled;
    spec.role    = is_face_key(key.id) ? Role::key : Role::label;
    if (key.id == "enter") spec.kind = ButtonKind::act, spec.role = Role::label_bold;
    return button(ui, "key." + key.id, box, spec);
}

} // namespace

KeypadTap keypad(Ui& ui, const Rect& rect, KeypadState& state, const KeypadOffer& offer)
{
    KeypadTap tap;
    for (const char c : ui.take_typed()) {
        tap.changed = true;
        if (state.feed(c)) break;
    }
    const bool  low  = rect.w > rect.h * 1.5F;
    const auto  keys = sixteen(ui, state, offer);
    const float gap  = 2.95F;
    std::string pressed;
    for (std::size_t i = 0; i < keys.size(); ++i) {
        if (keys[i].id.empty() || (keys[i].id == "enter" && !offer.enter)) continue;
        const Rect box =
            look::cell(rect, low ? look::Grid{6, 3, gap} : look::Grid{4, 4, gap}, cell_of(i, low));
        const bool enabled = keys[i].id == "enter"  ? state.complete()
                             : keys[i].id == "frac" ? state.allows("frac")
                                                    : true;
        if (draw_key(ui, box, keys[i], enabled)) pressed = keys[i].id;
    }
    if (pressed.empty()) return tap;
    if (pressed == "enter")
        tap.entered = true;
    else if (pressed == "instrument")
        tap.instrument = true;
    else if (pressed == "back")
        tap.back = true;
    else
        tap.changed = state.press(pressed) || tap.changed;
    return tap;
}

} // namespace field::kit
