// Reducing photos for the screen, and reading codes out of them.
#include "field/camera/scan.h"
#include "field/camera/thumbnail.h"

#include <BitMatrix.h>
#include <MultiFormatWriter.h>
#include <doctest/doctest.h>

#include <algorithm>
#include <random>

#include "tests/support/fake_camera.h"

using namespace field::camera;
using engine::Fault;

namespace {

struct Grey {
    int                        width = 0, height = 0;
    std::vector<unsigned char> pixels;
};

/// A code drawn by the writer in the middle of a grey card of 1280 x 720, as a camera would see it.
Grey card_with(ZXing::BarcodeFormat format, const std::string& text)
{
    const auto code = ZXing::MultiFormatWriter(format).setMargin(8).encode(text, 360, 240);
    Grey       card{1280, 720, std::vector<unsigned char>(std::size_t{1280} * 720, 200)};
    for (int y = 0; y < code.height(); ++y)
        for (int x = 0; x < code.width(); ++x)
            card.pixels[(static_cast<std::size_t>(y) + 200) * 1280 + static_cast<std::size_t>(x) + 400] =
                code.get(x, y) ? 30 : 225;
    return card;
}

void add_noise(Grey& card, double sigma)
{
    std::mt19937                     random(20261125); // fixed: the same card on every run
    std::normal_distribution<double> noise(0.0, sigma);
    for (unsigned char& pixel : card.pixels)
        pixel = static_cast<unsigned char>(std::clamp(pixel + noise(random), 0.0, 255.0));
}

} // namespace

TEST_SUITE("field/camera/thumbnail")
{
    TEST_CASE("a photo is reduced to the room there is and keeps its shape")
    {
        struct Row {
            int width, height, most_width, most_height;
        };
        for (const Row& row : {Row{1280, 720, 320, 180}, Row{1280, 720, 100, 100}, Row{720, 1280, 160, 160},
                               Row{160, 120, 4000, 4000}, Row{1601, 1203, 10, 10}, Row{3, 2000, 50, 50}}) {
            CAPTURE(row.width);
            CAPTURE(row.most_width);
            const auto small = decode_jpeg(support::numbered_jpeg(5, row.width, row.height), row.most_width,
                                           row.most_height);
            REQUIRE(small);
            CHECK(small->width >= 1);
            CHECK(small->height >= 1);
            CHECK(small->width <= std::min(row.width, row.most_width));
            CHECK(small->height <= std::min(row.height, row.most_height));
            CHECK(small->rgba.size() ==
                  4U * static_cast<std::size_t>(small->width) * static_cast<std::size_t>(small->height));
            CHECK(small->rgba[3] == 255);
        }
        const auto same = decode_jpeg(support::numbered_jpeg(5), 1000, 1000);
        REQUIRE(same);
        CHECK(same->width == 160); // never made larger than it is
    }

    TEST_CASE("colours arrive in the order red, green, blue")
    {
        const auto picture = decode_jpeg(support::numbered_jpeg(1), 160, 120);
        REQUIRE(picture);
        // numbered_jpeg(1): the first bar is 230, ramp, 60; at the top the ramp is 0. JPEG keeps it within a
        // few.
        CHECK(picture->rgba[0] == doctest::Approx(230).epsilon(0.05));
        CHECK(picture->rgba[1] < 12);
        CHECK(picture->rgba[2] == doctest::Approx(60).epsilon(0.2));
    }

    TEST_CASE("a photo cut short anywhere, or no photo at all, is refused and nothing else happens")
    {
        const auto whole = support::numbered_jpeg(3);
        for (std::size_t size = 0; size + 2 < whole.size(); size += 7) {
            CAPTURE(size);
            const auto broken = decode_jpeg(std::span(whole).first(size), 100, 100);
            REQUIRE_FALSE(broken);
            CHECK(broken.error().fault == Fault::corrupt);
            CHECK(broken.error().message == "The photo is not a whole JPEG picture; take it again.");
        }
        const std::vector<unsigned char> words{'n', 'o', ' ', 'p', 'i', 'c', 't', 'u', 'r', 'e'};
        CHECK_FALSE(decode_jpeg(words, 100, 100));
        CHECK(decode_jpeg(whole, 0, 100).error().fault == Fault::out_of_range);
    }
}

TEST_SUITE("field/camera/scan")
{
    TEST_CASE("codes of nameplates are read")
    {
        using ZXing::BarcodeFormat;
        for (const auto format : {BarcodeFormat::QRCode, BarcodeFormat::DataMatrix, BarcodeFormat::Code128}) {
            CAPTURE(ZXing::ToString(format));
            const Grey card = card_with(format, "SLW-P50-12/0042");
            CHECK(scan_grey(card.pixels, card.width, card.height) == "SLW-P50-12/0042");
        }
    }

    TEST_CASE("a code in a noisy picture is read at half size")
    {
        Grey card = card_with(ZXing::BarcodeFormat::QRCode, "LDF-04");
        add_noise(card, 12.0);
        CHECK(scan_grey(card.pixels, card.width, card.height) == "LDF-04");
    }

    TEST_CASE("a code is read from a photo")
    {
        const Grey card  = card_with(ZXing::BarcodeFormat::DataMatrix, "M-07");
        const auto photo = decode_jpeg(support::grey_jpeg(card.pixels, card.width, card.height), 1280, 720);
        REQUIRE(photo);
        CHECK(scan(*photo) == "M-07");
    }

    TEST_CASE("a picture without a code, or without pixels, gives nothing")
    {
        const std::vector<unsigned char> blank(std::size_t{640} * 480, 128);
        CHECK_FALSE(scan_grey(blank, 640, 480));
        CHECK_FALSE(scan_grey(blank, 1280, 720)); // fewer bytes than told
        CHECK_FALSE(scan_grey({}, 0, 0));
        CHECK_FALSE(scan_grey(blank, -4, 480));
        CHECK_FALSE(scan(Picture{}));
    }
}
