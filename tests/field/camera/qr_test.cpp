// Codes written by us and read by the reader the tablet uses.
#include "field/camera/qr.h"
#include "field/camera/scan.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

using field::camera::QrBits;

namespace {

const std::string kCode = "WM1:saltmarsh:T-07:" + std::string(32, 'a') + std::string(32, '7');

std::vector<unsigned char> drawn(const QrBits& bits, int module_px, int& side)
{
    side = (bits.side + 2 * field::camera::kQuietZone) * module_px;
    std::vector<unsigned char> grey(static_cast<std::size_t>(side) * static_cast<std::size_t>(side), 255);
    const int                  edge = field::camera::kQuietZone * module_px;
    for (int y = 0; y < bits.side * module_px; ++y)
        for (int x = 0; x < bits.side * module_px; ++x)
            if (bits.at(x / module_px, y / module_px))
                grey[static_cast<std::size_t>(y + edge) * static_cast<std::size_t>(side) +
                     static_cast<std::size_t>(x + edge)] = 0;
    return grey;
}

} // namespace

TEST_SUITE("field/camera/qr")
{
    TEST_CASE("an enrolment code becomes a square that reads back as it was, from small to large")
    {
        const auto bits = field::camera::qr_of(kCode);
        REQUIRE(bits);
        CHECK((bits->side - 21) % 4 == 0); // sizes go up by four modules from 21: ISO/IEC 18004 (from memory)
        for (const int module_px : {3, 6, 10}) {
            int        side = 0;
            const auto grey = drawn(*bits, module_px, side);
            const auto read = field::camera::scan_grey(grey, side, side);
            REQUIRE(read);
            CHECK(*read == kCode);
        }
    }

    TEST_CASE("letters beyond ASCII come back as they were")
    {
        const std::string text = "WM1:saltmarsh:Prüfstand 7:" + std::string(64, 'c');
        const auto        bits = field::camera::qr_of(text);
        REQUIRE(bits);
        int        side = 0;
        const auto grey = drawn(*bits, 6, side);
        const auto read = field::camera::scan_grey(grey, side, side);
        REQUIRE(read);
        CHECK(*read == text);
    }

    TEST_CASE("a scratch over a twentieth of the code leaves it readable")
    {
        const auto bits = field::camera::qr_of(kCode);
        REQUIRE(bits);
        int        side = 0;
        auto       grey = drawn(*bits, 6, side);
        const auto row  = static_cast<std::size_t>(side);
        for (std::size_t y = row / 2; y < row / 2 + row / 20; ++y)
            std::fill_n(grey.begin() + static_cast<std::ptrdiff_t>(y * row + row / 2), row / 3,
                        static_cast<unsigned char>(255));
        const auto read = field::camera::scan_grey(grey, side, side);
        REQUIRE(read);
        CHECK(*read == kCode);
    }

    TEST_CASE("what does not fit into the largest code is no code")
    {
        // 2334 bytes of data at 40-M, less 4 for mode, character set and count: ISO/IEC 18004 (from memory)
        CHECK(field::camera::qr_of(std::string(2330, 'x')));
        CHECK_FALSE(field::camera::qr_of(std::string(2331, 'x')));
        CHECK_FALSE(field::camera::qr_of(""));
    }
}
