// What can be wrong around the program: each ends with one clear sentence and the right exit code, and loses
// nothing.
#include "engine/base/clock.h"
#include "engine/book/book.h"

#include <doctest/doctest.h>

#include <fstream>
#include <string>

#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;
using support::Ran;
using support::run;
using support::run_shell;
using support::says;

struct Desk {
    support::TempFolder folder;
    std::string         book = " --book '" + (folder.path() / "book").string() + "'";
    Desk() { REQUIRE(run("demo --shifts 1" + book, folder.path()).code == 0); }
    [[nodiscard]] Ran  after(const std::string& arguments) const { return run(arguments, folder.path()); }
    [[nodiscard]] bool whole() const { return after("check" + book).code == 0; }
    [[nodiscard]] std::string script(const std::string& lines) const
    {
        std::ofstream(folder.path() / "play.walk") << lines;
        return "rehearse '" + (folder.path() / "play.walk").string() + "' --out '" +
               (folder.path() / "out").string() + "'";
    }
};

/// One sentence: a single line on standard error, named after the program, with a full stop.
bool one_sentence(const Ran& ran)
{
    return ran.says.starts_with("witnessmark: ") && ran.says.find('\n') == ran.says.size() - 1 &&
           ran.says[ran.says.size() - 2] == '.';
}

} // namespace

TEST_SUITE("field/refusals")
{
    TEST_CASE("a file that is no book is left as it is")
    {
        const Desk  desk;
        const auto  junk = desk.folder.path() / "junk";
        std::string bytes(30000, '\x5a');
        std::ofstream(junk, std::ios::binary) << bytes;
        for (const char* command : {"check", "review", "trace --job 1", "exchange --shared /tmp"}) {
            const Ran ran = desk.after(std::string(command) + " --book '" + junk.string() + "'");
            CAPTURE(command);
            CHECK(ran.code == 2);
            CHECK_MESSAGE(one_sentence(ran), ran.says);
            CHECK(says(ran, "is not a book"));
        }
        CHECK(support::text_of(junk) == bytes);
    }

    TEST_CASE("a book with a byte turned over is told with its place, and 1")
    {
        const Desk  desk;
        const auto  book  = desk.folder.path() / "book";
        std::string bytes = support::text_of(book);
        const auto  at    = bytes.find("lock_number");
        REQUIRE(at != std::string::npos);
        bytes[at] = 'L';
        fs::remove(fs::path(book.string() + "-wal"));
        std::ofstream(book, std::ios::binary) << bytes;
        const Ran checked = desk.after("check" + desk.book);
        CHECK(checked.code == 1);
        CHECK_MESSAGE(says(checked, "entry"), checked.says);
    }

    TEST_CASE("a book that another program writes into is not written twice")
    {
        const Desk desk;
        const auto clock = engine::system_clock();
        auto       held  = engine::Book::open(desk.folder.path() / "book", *clock);
        REQUIRE(held.has_value());
        const Ran ran =
            run_shell("echo 2050 | " + std::string(WM_PROGRAM) + " countersign 1801 --badge 205" + desk.book,
                      desk.folder.path());
        CHECK(ran.code == 2);
        CHECK_MESSAGE(says(ran, "another program"), ran.says);
    }

    TEST_CASE("places that cannot be written to or reached are named")
    {
        const Desk desk;
        for (const std::string& arguments :
             {std::string("demo --book /proc/none/book"), "exchange --shared /proc/none" + desk.book,
              "exchange --shared /dev/null" + desk.book, std::string("check --shared /proc/none")}) {
            const Ran ran = desk.after(arguments);
            CAPTURE(arguments);
            CHECK(ran.code == 2);
            CHECK_MESSAGE(one_sentence(ran), ran.says);
        }
        CHECK(desk.whole());
    }

    TEST_CASE("files that are not there are named")
    {
        const Desk desk;
        for (const char* command :
             {"units import /none.csv", "people import /none.csv", "jobs import /none.csv", "fill /none.json",
              "rehearse /none.walk --out /tmp"}) {
            const Ran ran = desk.after(command + desk.book);
            CAPTURE(command);
            CHECK(ran.code == 2);
            CHECK_MESSAGE(one_sentence(ran), ran.says);
            CHECK(says(ran, "none."));
        }
    }

    TEST_CASE("a glass that does not exist is said so, with what works without one")
    {
        const Desk desk;
        const Ran  ran = run_shell("env -u DISPLAY -u WAYLAND_DISPLAY -u XDG_RUNTIME_DIR " +
                                       std::string(WM_PROGRAM) + desk.book,
                                   desk.folder.path());
        CHECK(ran.code == 2);
        CHECK_MESSAGE(one_sentence(ran), ran.says);
        CHECK(says(ran, "no display"));
    }

    TEST_CASE("a tablet without a camera says so on the screen, and the job can wait for one")
    {
        const Desk desk;
        const Ran  ran = desk.after(
             desk.script("tap job.2224\ntap main\ntap photo\nexpect camera\ntap back\nexpect Isolate\n") +
             " --camera /dev/video-none" + desk.book);
        CHECK_MESSAGE(ran.code == 0, ran.says);
        CHECK(desk.whole());
    }

    TEST_CASE("a full disk stops the act with one sentence, and the book is whole afterwards")
    {
        // A real small disk in a user namespace of its own; the fault seams of engine/book try every write.
        const support::TempFolder folder;
        const std::string         at      = folder.path().string();
        const std::string         program = WM_PROGRAM;
        const Ran                 able =
            run_shell("unshare -rm sh -c 'mount -t tmpfs -o size=64k none " + at + "'", folder.path());
        if (able.code != 0) {
            MESSAGE(
                "NOT TRIED HERE: this machine gives no user namespace with a disk of its own: " << able.says);
            return;
        }
        const support::TempFolder words;
        const Ran                 ran =
            run_shell("unshare -rm sh -c 'mount -t tmpfs -o size=3m none " + at + " && " + program +
                          " demo --shifts 0 --book " + at + "/book && cat /dev/zero > " + at + "/ballast; " +
                          program + " demo --shifts 9 --book " + at + "/second; echo code $?; rm " + at +
                          "/ballast; " + program + " check --book " + at + "/book && echo still whole'",
                      words.path());
        CHECK_MESSAGE(says(ran, "code 2"), ran.says);
        CHECK_MESSAGE(says(ran, "still whole"), ran.says);
    }
}
