#include "engine/book/book.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sys/stat.h>

#include <fstream>

#include "tests/engine/book/drafts.h"
#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

TEST_SUITE("engine/book")
{
    TEST_CASE("a new book begins with the entry that names its machine")
    {
        const TempFolder folder;
        const FakeClock  clock;
        auto book = Book::open(folder / "t.book", clock, {.machine_name = "T-03", .plant = "saltmarsh"});
        REQUIRE(book);
        CHECK(book->size() == 1);
        CHECK(book->machine_name() == "T-03");
        CHECK(book->plant() == "saltmarsh");
        const auto first = book->entries_of_kind(kind::genesis);
        REQUIRE(first.size() == 1);
        CHECK(first.front().seq == 1);
        CHECK(first.front().prev == std::string(64, '0'));
        CHECK(first.front().body().at("name") == "T-03");
        CHECK(first.front().dev == book->device());
        CHECK(first.front().tq == "manual");
    }

    TEST_CASE("what was appended is there after the book is opened again, byte for byte")
    {
        const TempFolder   folder;
        FakeClock          clock;
        std::vector<Entry> before;
        std::string        device;
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            for (int i = 0; i < 20; ++i) {
                clock.advance(1000);
                const auto kept = book->append(reading("2219", "A", "seat", 499'700 + i));
                REQUIRE(kept);
                CHECK(kept->seq == static_cast<std::uint64_t>(i) + 2);
            }
            before = book->entries_of_job("2219");
            device = book->device();
        }
        auto book = Book::open(folder / "t.book", clock, {}, false);
        REQUIRE(book);
        CHECK(book->device() == device);
        const auto after = book->entries_of_job("2219");
        REQUIRE(after.size() == 20);
        for (std::size_t i = 0; i < after.size(); ++i) {
            CHECK(after[i].line == before[i].line);
            CHECK(after[i].body().at("value") == 499'700 + static_cast<int>(i));
            CHECK(open_line(after[i].line));
            CHECK(book->entry(after[i].id)->line == after[i].line);
        }
    }

    TEST_CASE("a second writer is refused with one clear sentence, a reader is not")
    {
        const TempFolder folder;
        const FakeClock  clock;
        auto             book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        const auto second = Book::open(folder / "t.book", clock);
        REQUIRE_FALSE(second);
        CHECK(second.error().fault == Fault::locked);
        CHECK(second.error().message ==
              "The book t.book is open in another program; close it there and try again.");
        auto reader = Book::open(folder / "t.book", clock, {.read_only = true});
        REQUIRE(reader);
        const std::uint64_t version = reader->version();
        REQUIRE(book->append(reading("2219", "A", "seat", 1)));
        CHECK(reader->entries_of_job("2219").size() == 1);
        CHECK(reader->version() != version);
        const auto refused = reader->append(reading("2219", "A", "seat", 2));
        REQUIRE_FALSE(refused);
        CHECK(refused.error().fault == Fault::locked);
    }

    TEST_CASE("a book that is closed can be opened by the next program")
    {
        const TempFolder folder;
        const FakeClock  clock;
        for (int i = 0; i < 3; ++i)
            CHECK(Book::open(folder / "t.book", clock));
    }

    TEST_CASE("the machine key can be read by its owner only")
    {
        const TempFolder folder;
        const FakeClock  clock;
        REQUIRE(Book::open(folder / "t.book", clock));
        struct stat facts {};
        REQUIRE(::stat((folder / "t.book.key").c_str(), &facts) == 0);
        CHECK((facts.st_mode & 0777U) == 0600U);
    }

    TEST_CASE("a correction leaves the old value where it was")
    {
        const TempFolder folder;
        FakeClock        clock;
        auto             book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        const auto wrong = book->append(reading("2219", "A", "seat", 499'070));
        REQUIRE(wrong);
        Draft right = reading("2219", "A", "seat", 499'700);
        right.kind  = kind::correction;
        right.refs  = {wrong->id};
        REQUIRE(book->append(right));
        const auto entries = book->entries_of_job("2219");
        REQUIRE(entries.size() == 2);
        CHECK(entries[0].id == wrong->id);
        CHECK(entries[0].body().at("value") == 499'070);
        CHECK(entries[1].said.refs == std::vector<std::string>{wrong->id});
    }

    TEST_CASE("several drafts are kept together or not at all")
    {
        const TempFolder folder;
        const FakeClock  clock;
        auto             book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        Draft bad          = reading("2219", "A", "seat", 2);
        bad.body           = std::make_shared<const nlohmann::json>(nlohmann::json{{"value", 1.5}});
        const auto refused = book->append_all({reading("2219", "A", "seat", 1), bad});
        REQUIRE_FALSE(refused);
        CHECK(refused.error().fault == Fault::bad_input);
        CHECK(book->size() == 1);
        const auto kept =
            book->append_all({reading("2219", "A", "seat", 1), reading("2219", "A", "seat", 2)});
        REQUIRE(kept);
        CHECK(book->size() == 3);
        CHECK(kept->front().seq == 2);
    }

    TEST_CASE("the catalogue follows the newest sheet, and only sheets make it anew")
    {
        const TempFolder folder;
        FakeClock        clock;
        auto             book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        UnitSheet unit;
        unit.code     = "SLW-P50";
        unit.revision = "1";
        REQUIRE(book->append(draft_of(unit, "901")));
        CHECK(book->catalogue().units.at("SLW-P50").revision == "1");
        unit.revision = "2";
        clock.advance(5);
        REQUIRE(book->append(draft_of(unit, "901")));
        CHECK(book->catalogue().units.at("SLW-P50").revision == "2");
        const Catalogue* before = &book->catalogue();
        REQUIRE(book->append(reading("2219", "A", "seat", 1)));
        CHECK(&book->catalogue() == before);
    }
}
