// Whole jobs by touch alone through the real screens, offscreen, from today's jobs to closed: on both sizes
// of glass, with photos from the test picture, readings typed on our keypad, and a kill in the middle. What a
// walk leaves is then proved, exchanged through a folder and read back by a second book.
#include "engine/base/clock.h"
#include "engine/base/files.h"
#include "engine/book/book.h"
#include "engine/book/locked_key.h"
#include "engine/procedure/workbench.h"
#include "field/app/rehearsal.h"
#include "sync/disk_folder.h"
#include "sync/enrolment.h"
#include "sync/exchange.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <string>

#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kMorning_ms = 1'795'590'000'000; ///< 2026-11-25 07:00 UTC

struct Walk {
    const char* script;
    const char* job;
    std::size_t photos, readings; ///< at least, in the record
};
constexpr Walk kPair{"fixed_and_expansion.walk", "2219", 16, 45};
constexpr Walk kFlanges{"two_flanges.walk", "2224", 12, 35};
constexpr Walk kBlocks{"two_pillow_blocks.walk", "2231", 14, 40};
constexpr Walk kAlone{"one_unit.walk", "2240", 8, 18};

void make_demo_book(const fs::path& book)
{
    const std::string command =
        std::string(WM_PROGRAM) + " demo --shifts 0 --book '" + book.string() + "' > /dev/null";
    REQUIRE(std::system(command.c_str()) == 0);
}

void play(const Walk& walk, const fs::path& book, const fs::path& out, const field::look::ScreenSize& screen)
{
    const auto script = field::app::read_script(fs::path(WM_SOURCE_DIR) / "tests" / "walk" / walk.script);
    REQUIRE(script);
    field::app::RehearsalSetup setup{.book          = book,
                                     .out           = out,
                                     .screen        = screen,
                                     .badge         = "112",
                                     .start_wall_ms = kMorning_ms,
                                     .pictures      = false};
    const auto                 played = field::app::rehearse(*script, setup);
    CHECK_MESSAGE(played.has_value(), (played ? std::string{} : played.error().message));
}

void check_closed(const fs::path& file, const Walk& walk)
{
    const auto clock = engine::system_clock();
    auto       book  = engine::Book::open(file, *clock, {}, false);
    REQUIRE(book);
    const auto procedure = engine::load_procedure(engine::assets_folder() / "procedure");
    REQUIRE(procedure);
    const engine::Workbench bench(*book, *procedure, *clock);
    const auto              job = bench.job(walk.job);
    REQUIRE(job);
    CHECK((*job)->progress.closed);
    CHECK((*job)->progress.complaints.empty());
    std::size_t photos = 0, readings = 0;
    for (const auto& entry : (*job)->entries) {
        photos += entry.said.kind == engine::kind::photo ? 1U : 0U;
        readings += entry.said.kind == engine::kind::reading ? 1U : 0U;
    }
    CHECK(photos >= walk.photos);
    CHECK(readings >= walk.readings);
}

/// By the demo's plant key, which lies beside its book.
void enrol_office(engine::Book& tablet, engine::Book& office, const engine::Clock& clock)
{
    const auto locked = engine::LockedKey::load(tablet.file().string() + ".plant.key");
    REQUIRE(locked);
    const auto key = locked->unlock("invented demo plant");
    REQUIRE(key);
    REQUIRE(office.trust_root(tablet.roster().root_key()));
    const auto joins = share::machine_joins(tablet, share::own_code(office), "recorder");
    REQUIRE(joins);
    REQUIRE(share::say(tablet, *key, *joins, clock.now().wall_ms));
}

/// A second machine that knows nothing reads the folder and then holds the same book, entry for entry.
void check_read_back(const fs::path& file, const fs::path& folder)
{
    const auto clock = engine::system_clock();
    auto       first = engine::Book::open(file, *clock, {}, false);
    REQUIRE(first);
    fs::create_directories(folder);
    auto share = share::DiskFolder::open(folder);
    REQUIRE(share);
    engine::BookOptions office;
    office.machine_name = "office";
    auto second         = engine::Book::open(file.string() + ".office", *clock, office);
    REQUIRE(second);
    enrol_office(*first, *second, *clock);
    REQUIRE(share::exchange(*first, *share, *clock));
    REQUIRE(share::exchange(*second, *share, *clock));
    REQUIRE(share::exchange(*first, *share, *clock));
    REQUIRE(share::exchange(*second, *share, *clock));
    CHECK(first->size() == second->size());
    CHECK(engine::state_hash(*first) == engine::state_hash(*second));
    for (const std::string& photo : first->photo_hashes())
        CHECK(second->photos().has(photo));
    std::size_t read_back = 0;
    for (const auto& entry : first->entries_of_machine(first->device(), 1, 100'000))
        read_back += first->reach(entry) == engine::Reach::read_back ? 1U : 0U;
    CHECK(read_back > 90); // the office has witnessed what the tablet wrote
}

void whole_job(const Walk& walk, const field::look::ScreenSize& screen)
{
    CAPTURE(walk.script);
    const support::TempFolder folder;
    const fs::path            book = folder.path() / "tablet.book";
    make_demo_book(book);
    play(walk, book, folder.path(), screen);
    const auto checked = engine::check_book(book);
    REQUIRE(checked);
    CHECK_MESSAGE(checked->whole, checked->first_break);
    check_closed(book, walk);
    check_read_back(book, folder.path() / "share");
}

} // namespace

TEST_SUITE("walk")
{
    TEST_CASE("fixed and expansion pillow blocks, with a held seat, a kill and a back-off, on the wide glass")
    {
        whole_job(kPair, field::look::kTenInch);
    }
    TEST_CASE("fixed and expansion pillow blocks on the upright glass")
    {
        whole_job(kPair, field::look::kEightInchUpright);
    }
    TEST_CASE("two flange units, the second on shims, on the wide glass")
    {
        whole_job(kFlanges, field::look::kTenInch);
    }
    TEST_CASE("two flange units on the upright glass")
    {
        whole_job(kFlanges, field::look::kEightInchUpright);
    }
    TEST_CASE("two fixed pillow blocks on the wide glass")
    {
        whole_job(kBlocks, field::look::kTenInch);
    }
    TEST_CASE("two fixed pillow blocks on the upright glass")
    {
        whole_job(kBlocks, field::look::kEightInchUpright);
    }

    TEST_CASE("one flange unit alone, on to the look afterwards, on the wide glass")
    {
        whole_job(kAlone, field::look::kTenInch);
    }

    TEST_CASE("three positions: fixed in the middle first, then both expansion units")
    {
        const support::TempFolder folder;
        make_demo_book(folder.path() / "b");
        play({"three_positions.walk", "2243", 0, 0}, folder.path() / "b", folder.path(),
             field::look::kTenInch);
    }

    TEST_CASE("a script that names a target that is not there fails, and says what was on the screen")
    {
        const support::TempFolder folder;
        make_demo_book(folder.path() / "b");
        const std::vector<field::app::ScriptLine> script{{"inline", 1, "tap", "no.such.target"}};
        const auto played = field::app::rehearse(script, {.book          = folder.path() / "b",
                                                          .out           = folder.path(),
                                                          .badge         = "112",
                                                          .start_wall_ms = kMorning_ms,
                                                          .pictures      = false});
        REQUIRE_FALSE(played);
        CHECK(played.error().fault == engine::Fault::refused);
    }

    TEST_CASE("a script with an unknown command is refused with file and line")
    {
        const support::TempFolder folder;
        const fs::path            file = folder.path() / "bad.walk";
        std::ofstream(file) << "# a comment\ndance wildly\n";
        const auto script = field::app::read_script(file);
        REQUIRE_FALSE(script);
        CHECK(script.error().message.find("bad.walk:2") != std::string::npos);
    }
}
