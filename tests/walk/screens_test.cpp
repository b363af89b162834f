// Plays the scripts screens_*.walk through the real program on a demo book of its own, with pictures, on both
// glasses, in every light and for both hands. A picture with clipped or overlapping text or a small target
// fails its script.
#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/temp_folder.h"

namespace fs = std::filesystem;

namespace {

struct Glass {
    const char* theme;
    const char* hand;
};

int run(const std::string& arguments, const fs::path& log)
{
    return std::system((std::string(WM_PROGRAM) + " " + arguments + " > " + log.string() + " 2>&1").c_str());
}

std::string text_of(const fs::path& file)
{
    std::ifstream      in(file);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::vector<fs::path> scripts()
{
    std::vector<fs::path> found;
    for (const auto& entry : fs::directory_iterator(fs::path(WM_SOURCE_DIR) / "tests" / "walk"))
        if (entry.path().extension() == ".walk" && entry.path().stem().string().starts_with("screens_"))
            found.push_back(entry.path());
    std::sort(found.begin(), found.end());
    return found;
}

/// Plays every script from a fresh copy of the same demo book.
void play_all(const Glass& glass)
{
    const support::TempFolder folder;
    const fs::path            log = folder.path() / "log";
    fs::create_directory(folder.path() / "fresh");
    const fs::path fresh = folder.path() / "fresh" / "demo.book";
    REQUIRE_MESSAGE(run("demo --not-enrolled --book " + fresh.string() + " --shifts 0", log) == 0,
                    text_of(log));
    std::ofstream(fresh.string() + ".settings.json") << R"({"hand":")" << glass.hand << R"("})";
    REQUIRE(scripts().size() >= 9);
    for (const fs::path& script : scripts()) {
        for (const std::string size : {"1280x800", "800x1280"}) {
            const fs::path place = folder.path() / (script.stem().string() + size);
            fs::copy(folder.path() / "fresh", place, fs::copy_options::recursive);
            const std::string badge = script.stem() == "screens_people"    ? "none"
                                      : script.stem() == "screens_planner" ? "401"
                                                                           : "112";
            const int         code =
                run("rehearse " + script.string() + " --book " + (place / "demo.book").string() + " --out " +
                        place.string() + " --size " + size + " --theme " + glass.theme + " --badge " + badge,
                    log);
            CHECK_MESSAGE(code == 0, script.stem().string() << " at " << size << ": " << text_of(log));
            fs::remove_all(place);
        }
    }
}

} // namespace

TEST_SUITE("walk/screens")
{
    TEST_CASE("every screen holds by day in the right hand")
    {
        play_all({"day", "right"});
    }
    TEST_CASE("every screen holds in dim light in the left hand")
    {
        play_all({"dim", "left"});
    }
    TEST_CASE("every screen holds in glare in the left hand")
    {
        play_all({"glare", "left"});
    }

    TEST_CASE("the send box has room for the counts of whole jobs")
    {
        const support::TempFolder folder;
        const fs::path            log = folder.path() / "log", book = folder.path() / "demo.book";
        REQUIRE_MESSAGE(run("demo --book " + book.string() + " --shifts 1", log) == 0, text_of(log));
        const fs::path script = folder.path() / "send.walk";
        std::ofstream(script) << "tap send_box\nexpect entries 129, photos 17\nshot send\n";
        for (const std::string size : {"1280x800", "800x1280"}) {
            const int code = run("rehearse " + script.string() + " --book " + book.string() + " --out " +
                                     folder.path().string() + " --size " + size,
                                 log);
            CHECK_MESSAGE(code == 0, size << ": " << text_of(log));
        }
    }
}
