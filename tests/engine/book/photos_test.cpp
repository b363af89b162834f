#include "engine/book/entry.h"
#include "engine/book/photos.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>

#include "tests/engine/book/jpeg.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

std::size_t files_in(const fs::path& folder)
{
    std::size_t count = 0;
    for (const auto& at : fs::recursive_directory_iterator(folder))
        if (at.is_regular_file()) ++count;
    return count;
}

} // namespace

TEST_SUITE("engine/book photos")
{
    TEST_CASE("a photo is kept once, byte for byte, under its hash")
    {
        const TempFolder folder;
        PhotoStore       store(folder / "blob", disk_io());
        const auto       jpeg = picture(64, 48);
        const auto       kept = store.keep(jpeg);
        REQUIRE(kept);
        CHECK(kept->width == 64);
        CHECK(kept->height == 48);
        CHECK(kept->bytes == jpeg.size());
        CHECK(kept->sha256 == hex(sha256(jpeg)));
        CHECK(store.has(kept->sha256));
        CHECK(store.path_of(kept->sha256) ==
              folder / "blob" / kept->sha256.substr(0, 2) / (kept->sha256 + ".jpg"));
        CHECK(*store.read(kept->sha256) == jpeg);
        REQUIRE(store.keep(jpeg));
        CHECK(files_in(folder.path()) == 1); // no second file, no temporary one
    }

    TEST_CASE("a photo cut short anywhere is refused, and nothing is left behind")
    {
        const TempFolder folder;
        PhotoStore       store(folder / "blob", disk_io());
        const auto       jpeg  = picture(64, 48);
        int              taken = 0;
        for (std::size_t length = 0; length < jpeg.size(); length += 7)
            if (store.keep(std::span(jpeg).first(length))) ++taken;
        CHECK(taken == 0);
        CHECK(files_in(folder.path()) == 0);
    }

    TEST_CASE("a photo cut short whose end was glued on again is refused")
    {
        const auto jpeg  = picture(64, 48);
        int        taken = 0;
        for (std::size_t length = 10; length + 40 < jpeg.size(); length += 13) {
            std::vector<unsigned char> glued(jpeg.begin(),
                                             jpeg.begin() + static_cast<std::ptrdiff_t>(length));
            glued.push_back(0xff);
            glued.push_back(0xd9);
            if (inspect_jpeg(glued)) ++taken;
        }
        CHECK(taken == 0);
    }

    TEST_CASE("what is no picture, and what has something behind its end, is refused")
    {
        CHECK_FALSE(inspect_jpeg({}));
        const std::vector<unsigned char> zeros(5000, 0);
        CHECK(inspect_jpeg(zeros).error().fault == Fault::corrupt);
        auto longer = picture(64, 48);
        longer.push_back(0);
        CHECK(inspect_jpeg(longer).error().message ==
              "The photo is not a whole JPEG: its end is missing. Take it again.");
    }

    TEST_CASE("a picture with more pixels than any camera of ours is refused before it is unpacked")
    {
        auto jpeg = picture(64, 48);
        for (std::size_t i = 0; i + 8 < jpeg.size(); ++i)
            if (jpeg[i] == 0xff && jpeg[i + 1] == 0xc0) { // start of frame: height, width (ITU-T T.81, B.2.2)
                jpeg[i + 5] = jpeg[i + 7] = 0xff;
                break;
            }
        const auto info = inspect_jpeg(jpeg);
        REQUIRE_FALSE(info);
        CHECK(info.error().fault == Fault::out_of_range);
        const std::vector<unsigned char> huge(kLargestPhoto + 1, 0xff);
        CHECK(inspect_jpeg(huge).error().fault == Fault::out_of_range);
    }

    TEST_CASE("a photo changed on the disk is noticed when it is read, and healed when it is kept again")
    {
        const TempFolder folder;
        PhotoStore       store(folder / "blob", disk_io());
        const auto       jpeg = picture(64, 48);
        const auto       kept = store.keep(jpeg);
        REQUIRE(kept);
        std::ofstream(store.path_of(kept->sha256), std::ios::app) << "x";
        CHECK(store.read(kept->sha256).error().fault == Fault::corrupt);
        REQUIRE(store.keep(jpeg));
        CHECK(*store.read(kept->sha256) == jpeg);
    }

    TEST_CASE("names that are no hash lead nowhere")
    {
        const TempFolder folder;
        const PhotoStore store(folder / "blob", disk_io());
        CHECK_FALSE(store.has("../../etc/passwd"));
        CHECK(store.read("../../etc/passwd").error().fault == Fault::bad_input);
        CHECK(store.read(std::string(64, 'a')).error().fault == Fault::not_found);
    }
}
