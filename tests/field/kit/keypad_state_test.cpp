#include "field/kit/keypad_state.h"

#include <doctest/doctest.h>

#include <initializer_list>
#include <string>

using engine::UnitOf;
using field::kit::KeypadState;
using field::kit::PadMode;
using field::kit::Source;
using field::kit::Stage;

namespace {

KeypadState keyed(KeypadState state, std::initializer_list<const char*> keys)
{
    for (const char* key : keys)
        state.press(key);
    return state;
}

void feed(KeypadState& state, const std::string& text)
{
    for (const char c : text)
        state.feed(c);
}

} // namespace

TEST_SUITE("field/kit keypad")
{
    TEST_CASE("a reading starts empty and keeps what was keyed, trailing zeros included")
    {
        KeypadState state(PadMode::decimal, UnitOf::mm);
        CHECK(state.empty());
        CHECK_FALSE(state.complete());
        state = keyed(state, {"4", "9", ".", "9", "7", "0"});
        CHECK(state.text() == "49.970");
        REQUIRE(state.complete());
        CHECK(state.entered()->text == "49.970");
    }

    TEST_CASE("a second decimal point, a letter and a denominator change nothing in a decimal reading")
    {
        KeypadState state = keyed({PadMode::decimal, UnitOf::mm}, {"1", "."});
        CHECK_FALSE(state.press("."));
        CHECK_FALSE(state.press("A"));
        CHECK_FALSE(state.press("den.16"));
        CHECK(state.text() == "1.");
    }

    TEST_CASE("a point first gives the zero before it, and a leading zero does not stay")
    {
        CHECK(keyed({PadMode::decimal, UnitOf::mm}, {".", "0", "5", "5"}).text() == "0.055");
        CHECK(keyed({PadMode::decimal, UnitOf::mm}, {"0", "7"}).text() == "7");
    }

    TEST_CASE("two and fifteen sixteenths take six keys and are 74.6125 mm")
    {
        const KeypadState state = keyed({PadMode::decimal, UnitOf::inch}, {"2", "frac", "den.16", "1", "5"});
        CHECK(state.text() == "2-15/16");
        CHECK(state.stage() == Stage::numerator);
        REQUIRE(state.complete());
        // 2.9375 in * 25.4 mm (exact inch, ISO 80000-3) = 74.6125 mm = 746125 tenths of a micrometre.
        CHECK(state.entered()->si == 746125);
        CHECK(state.entered()->unit == UnitOf::inch);
    }

    TEST_CASE("a fraction without whole inches works, and an unfinished or improper one is refused")
    {
        CHECK(keyed({PadMode::decimal, UnitOf::inch}, {"frac", "den.8", "5"}).entered()->si ==
              158750); // 0.625 in
        CHECK_FALSE(keyed({PadMode::decimal, UnitOf::inch}, {"2", "frac", "den.16"}).complete());
        CHECK_FALSE(keyed({PadMode::decimal, UnitOf::inch}, {"2", "frac", "den.16", "1", "6"}).complete());
        CHECK_FALSE(keyed({PadMode::decimal, UnitOf::inch}, {"2", ".", "5"}).press("frac"));
    }

    TEST_CASE("erase walks back through a fraction to the whole inches")
    {
        KeypadState state = keyed({PadMode::decimal, UnitOf::inch}, {"2", "frac", "den.16", "1", "5"});
        state.press("erase");
        CHECK(state.text() == "2-1/16");
        state.press("erase");
        CHECK(state.text() == "2-/16");
        state.press("erase");
        CHECK(state.text() == "2");
        CHECK(state.stage() == Stage::denominator);
        state.press("erase");
        CHECK(state.mode() == PadMode::decimal);
        CHECK(state.text() == "2");
        state.press("erase");
        CHECK(state.empty());
        CHECK_FALSE(state.press("erase"));
    }

    TEST_CASE("changing the unit drops the digits: a number never changes its meaning")
    {
        KeypadState state = keyed({PadMode::decimal, UnitOf::mm}, {"2", "5"});
        CHECK(state.press("unit"));
        CHECK(state.unit() == UnitOf::inch);
        CHECK(state.empty());
        state.press("unit");
        CHECK(state.unit() == UnitOf::thou);
        state.press("unit");
        CHECK(state.unit() == UnitOf::mm);
        state = keyed({PadMode::decimal, UnitOf::mm}, {"2", "frac"});
        CHECK(state.empty());
        CHECK(state.unit() == UnitOf::inch);
    }

    TEST_CASE("the echo says the same length in the other unit")
    {
        CHECK(keyed({PadMode::decimal, UnitOf::mm}, {"2", "5", ".", "4"}).echo() == "1.0000 in");
        CHECK(keyed({PadMode::decimal, UnitOf::inch}, {"2", "frac", "den.1", "den.16", "1", "5"}).echo() ==
              "74.613 mm");
        CHECK(keyed({PadMode::decimal, UnitOf::thou}, {"2"}).echo() == "0.051 mm");
        CHECK(keyed({PadMode::decimal, UnitOf::celsius}, {"3", "1"}).echo().empty());
    }

    TEST_CASE("the minus key changes the sign wherever the number stands")
    {
        KeypadState state = keyed({PadMode::decimal, UnitOf::celsius}, {"5", "-"});
        CHECK(state.text() == "-5");
        state.press("-");
        CHECK(state.text() == "5");
    }

    TEST_CASE("angles take one decimal, integers none, codes letters and dashes")
    {
        CHECK(keyed({PadMode::angle, UnitOf::deg}, {"9", "2", ".", "5", "5"}).text() == "92.5");
        CHECK(keyed({PadMode::integer, UnitOf::count}, {"4", ".", "2"}).text() == "42");
        KeypadState code = keyed({PadMode::code, UnitOf::text}, {"page", "H", "M", "-", "0", "7"});
        CHECK(code.text() == "HM-07");
        CHECK(code.page() == 1);
        CHECK(code.entered()->text == "HM-07");
    }

    TEST_CASE("every capital letter and digit is on exactly one page")
    {
        std::string all;
        for (int page = 0; page <= field::kit::kLetterPages; ++page) {
            CHECK(field::kit::letters_of_page(page).size() <= 11);
            all += field::kit::letters_of_page(page);
        }
        CHECK(all == "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ");
    }

    TEST_CASE("a gauge that types replaces the keys, takes a decimal comma, and never presses Enter")
    {
        KeypadState state = keyed({PadMode::decimal, UnitOf::mm}, {"4", "9"});
        feed(state, "49,968");
        CHECK(state.feed('\n'));
        CHECK(state.text() == "49.968");
        CHECK(state.source() == Source::device);
        feed(state, "x7");
        CHECK(state.text() == "49.9687");
        state.press("5");
        CHECK(state.text() == "5");
        CHECK(state.source() == Source::keys);
    }

    TEST_CASE("no key can make the text longer than any instrument shows")
    {
        KeypadState state(PadMode::decimal, UnitOf::mm);
        for (int i = 0; i < 100; ++i)
            state.press("9");
        CHECK(state.text().size() == 12);
    }
}
