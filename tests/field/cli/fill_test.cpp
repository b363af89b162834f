// A job carried out from a file of readings, by the program itself: it refuses what the screen refuses.
#include <doctest/doctest.h>

#include <fstream>
#include <string>

#include "tests/support/picture.h"
#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;

using support::Ran;
using support::run;

struct Desk { ///< a demo book, a photo, and a file of readings to carry out
    support::TempFolder folder;
    Desk()
    {
        REQUIRE(run("demo --shifts 0 --book '" + book() + "'", folder.path()).code == 0);
        const auto jpeg = support::numbered_jpeg(1);
        std::ofstream(folder.path() / "photo.jpg", std::ios::binary)
            .write(reinterpret_cast<const char*>(jpeg.data()), static_cast<std::streamsize>(jpeg.size()));
    }
    [[nodiscard]] std::string book() const { return (folder.path() / "book").string(); }
    [[nodiscard]] Ran         fill(const std::string& steps) const
    {
        const fs::path file = folder.path() / "job.json";
        std::ofstream(file) << R"({"job": "2224", "actor": "118", "steps": [)" << steps << "]}";
        return run("fill '" + file.string() + "' --book '" + book() + "' --photos '" +
                       folder.path().string() + "'",
                   folder.path());
    }
};

constexpr const char* kIsolate =
    R"({"step": "isolate", "codes": {"lock_number": "5512"}, "photos": {"lock_photo": "photo.jpg"}})";

} // namespace

TEST_SUITE("field/fill")
{
    TEST_CASE("steps in their order are carried out and the book is whole afterwards")
    {
        const Desk desk;
        const Ran  done = desk.fill(std::string(kIsolate) +
                                    R"(, {"step": "papers", "choices": {"unit": "right", "sheet": "same"}})");
        CHECK_MESSAGE(done.code == 0, done.says);
        CHECK(run("check --book '" + desk.book() + "'", desk.folder.path()).code == 0);
    }

    TEST_CASE("a step before its time is refused, naming step and rule, and what went before stays")
    {
        const Desk desk;
        const Ran  refused = desk.fill(std::string(kIsolate) +
                                       R"(, {"step": "slide_on", "pos": "A", "codes": {"serial": "770"}})");
        CHECK(refused.code == 1);
        CHECK(refused.says.find("slide_on at A") != std::string::npos);
        CHECK(refused.says.find("rule") != std::string::npos);
        CHECK(refused.says.find("stays in the record") != std::string::npos);
    }

    TEST_CASE("a photo that is not there is said in one sentence with the step it belongs to")
    {
        const Desk desk;
        const Ran  refused = desk.fill(
             R"({"step": "isolate", "codes": {"lock_number": "5512"}, "photos": {"lock_photo": "gone.jpg"}})");
        CHECK(refused.code == 2);
        CHECK(refused.says.find("lock_photo") != std::string::npos);
    }

    TEST_CASE("a file that is not JSON is refused and nothing is done")
    {
        const Desk desk;
        const Ran  refused = desk.fill("{");
        CHECK(refused.code == 2);
        CHECK(refused.says.find("JSON") != std::string::npos);
    }
}
