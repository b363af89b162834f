#include "field/kit/letter_pad.h"

#include <doctest/doctest.h>

#include <set>
#include <string>

using field::kit::LetterPadState;

TEST_SUITE("field/kit letter pad")
{
    TEST_CASE("every printable character of ASCII stands on one key, the space on its own")
    {
        std::multiset<char> keys{' '};
        for (int layer = 0; layer < field::kit::kLetterLayers; ++layer)
            for (const char c : field::kit::characters_of(layer))
                keys.insert(c);
        CHECK(keys.size() == 95); // ISO/IEC 646: 0x20 to 0x7E
        for (char c = ' '; c <= '~'; ++c)
            CHECK(keys.count(c) == 1);
    }

    TEST_CASE("characters are added, the last one is erased, other keys change no text")
    {
        LetterPadState pad;
        for (const char* key : {"r", "E", "space", "7", "?"})
            CHECK(pad.press(key));
        CHECK(pad.text() == "rE 7?");
        CHECK(pad.press("erase"));
        CHECK(pad.text() == "rE 7");
        CHECK(pad.press("page"));
        CHECK(pad.press("half"));
        CHECK_FALSE(pad.press("enter"));
        CHECK_FALSE(pad.press("\x01"));
        CHECK(pad.text() == "rE 7");
    }

    TEST_CASE("the layers come round, and another layer begins with its first half")
    {
        LetterPadState pad;
        (void)pad.press("half");
        CHECK(pad.half() == 1);
        for (int i = 0; i < field::kit::kLetterLayers; ++i)
            (void)pad.press("page");
        CHECK(pad.layer() == 0);
        CHECK(pad.half() == 0);
    }

    TEST_CASE("a keyboard that is plugged in types into the same text, up to its line end")
    {
        LetterPadState pad;
        CHECK_FALSE(pad.feed('a'));
        CHECK_FALSE(pad.feed('\b'));
        CHECK_FALSE(pad.feed('b'));
        CHECK(pad.feed('\n'));
        CHECK(pad.text() == "b");
    }

    TEST_CASE("erasing nothing changes nothing, and a secret has a longest length")
    {
        LetterPadState pad;
        CHECK_FALSE(pad.press("erase"));
        for (std::size_t i = 0; i < field::kit::kLongestSecret; ++i)
            REQUIRE(pad.press("x"));
        CHECK_FALSE(pad.press("x"));
        pad.clear();
        CHECK(pad.text().empty());
    }
}
