// What `witnessmark check --book` says about a book somebody has had his hands in.
#include "engine/book/book.h"
#include "engine/book/store.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/engine/book/drafts.h"
#include "tests/engine/book/jpeg.h"
#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

/// A closed book of machine T-03 with eleven entries, the last of which names a photo.
struct Closed {
    TempFolder            folder;
    std::filesystem::path file = folder / "t.book";
    std::string           photo;

    Closed()
    {
        FakeClock   clock;
        BookOptions options;
        options.machine_name = "T-03";
        auto book            = Book::open(file, clock, options);
        REQUIRE(book);
        for (int i = 0; i < 9; ++i) {
            clock.advance(1000);
            REQUIRE(book->append(reading("2219", "A", "seat", i)));
        }
        const auto kept = book->photos().keep(picture(40, 30));
        REQUIRE(kept);
        photo     = kept->sha256;
        Draft one = draft(kind::photo, {{"sha256", photo}});
        one.job   = "2219";
        REQUIRE(book->append(one));
    }

    /// What a person with a database tool could do.
    void tamper(const char* sql) const
    {
        auto db = Db::open(file, Db::Mode::write);
        REQUIRE(db);
        REQUIRE(db->run(sql));
    }

    [[nodiscard]] std::string first_break() const
    {
        const auto report = check_book(file);
        REQUIRE(report);
        CHECK(report->whole == report->first_break.empty());
        return report->first_break;
    }
};

constexpr const char* kFourth = " WHERE place = (1 << 40) + 4";

std::string on_fourth(const std::string& change)
{
    return "UPDATE entry SET " + change + kFourth;
}

} // namespace

TEST_SUITE("engine/book check")
{
    TEST_CASE("a whole book is proved with every entry, signature and photo counted")
    {
        const Closed closed;
        std::size_t  told = 0;
        const auto report = check_book(closed.file, [&told](std::size_t, std::size_t) { return ++told > 0; });
        REQUIRE(report);
        CHECK(report->whole);
        CHECK(report->first_break == "");
        CHECK(report->entries == 11);
        CHECK(report->signatures == 11);
        CHECK(report->photos == 1);
        CHECK(report->photos_missing == 0);
    }

    TEST_CASE("a changed value is named by machine and entry")
    {
        const Closed closed;
        closed.tamper(on_fourth(R"(line = replace(line, '"value":2', '"value":3'))").c_str());
        CHECK(closed.first_break() == "machine T-03, entry 4: signature does not match");
        const FakeClock clock;
        const auto      book = Book::open(closed.file, clock);
        REQUIRE_FALSE(book); // and at the next start, when it is among the last 512
        CHECK(book.error().fault == Fault::corrupt);
        CHECK(book.error().message.find("machine T-03, entry 4") != std::string::npos);
    }

    TEST_CASE("a line cut short, taken out, or put in the place of another is named")
    {
        const Closed closed;
        SUBCASE("cut short")
        {
            closed.tamper(on_fourth("line = substr(line, 1, length(line) - 9)").c_str());
            CHECK(closed.first_break() == "machine T-03, entry 4: line is cut short or damaged");
        }
        SUBCASE("taken out")
        {
            closed.tamper("DELETE FROM entry WHERE place = (1 << 40) + 4");
            CHECK(closed.first_break() == "machine T-03, entry 4: is missing");
        }
        SUBCASE("doubled")
        {
            closed.tamper(on_fourth("line = (SELECT line FROM entry WHERE place = (1 << 40) + 3)").c_str());
            CHECK(closed.first_break() == "machine T-03, entry 4: the line stands in the place of another");
        }
        SUBCASE("moved up after one was taken out")
        {
            closed.tamper("DELETE FROM entry WHERE place = (1 << 40) + 4;"
                          "UPDATE entry SET place = place - 1 WHERE place > (1 << 40) + 4");
            CHECK(closed.first_break() == "machine T-03, entry 4: the line stands in the place of another");
        }
    }

    TEST_CASE("an index that hides a line or shows it under another name is found")
    {
        const Closed closed;
        SUBCASE("other job")
        {
            closed.tamper(on_fourth("job = '9999'").c_str());
        }
        SUBCASE("other kind")
        {
            closed.tamper(on_fourth("kind = 'note'").c_str());
        }
        SUBCASE("other day")
        {
            closed.tamper(on_fourth("wall_ms = 5").c_str());
        }
        SUBCASE("other order")
        {
            closed.tamper(on_fourth("hlc_ms = 5").c_str());
        }
        SUBCASE("other id")
        {
            closed.tamper(on_fourth("id = zeroblob(32)").c_str());
        }
        CHECK(closed.first_break() == "machine T-03, entry 4: the index does not say what the line says");
    }

    TEST_CASE("last entries taken out of the book are missed, because the lines beside it have them")
    {
        const Closed closed;
        closed.tamper("DELETE FROM entry WHERE place > (1 << 40) + 9");
        CHECK(closed.first_break() ==
              "machine T-03, entry 10: stands in the lines beside the book but is missing inside");
    }

    TEST_CASE("last entries taken out everywhere are missed, because another machine has read them")
    {
        const Closed closed;
        closed.tamper("DELETE FROM entry WHERE place > (1 << 40) + 9;"
                      "INSERT INTO witness(dev, by, seq) SELECT dev, 2, 11 FROM machine");
        std::filesystem::remove_all(closed.folder / "t.book.d/own");
        CHECK(closed.first_break() ==
              "machine T-03, entry 10: another machine has read it, here it is missing");
    }

    TEST_CASE("a changed line beside the book is named")
    {
        const Closed closed;
        const auto   path = closed.folder / "t.book.d/own/0000000001.jsonl";
        std::fstream text(path, std::ios::in | std::ios::out | std::ios::binary);
        text.seekp(200);
        text.put('~');
        text.close();
        CHECK(closed.first_break() ==
              "machine T-03, entry 1: the line beside the book differs from the one inside");
    }

    TEST_CASE("a photo that is gone or changed is named by the entry that names it")
    {
        const Closed closed;
        const auto   path =
            closed.folder / ("t.book.d/blob/" + closed.photo.substr(0, 2) + "/" + closed.photo + ".jpg");
        const std::string start = "machine T-03, entry 11: its photo " + closed.photo.substr(0, 8);
        SUBCASE("changed")
        {
            std::ofstream(path, std::ios::app) << "x";
            CHECK(closed.first_break() == start + " was changed or damaged");
        }
        SUBCASE("gone")
        {
            std::filesystem::remove(path);
            CHECK(closed.first_break() == start + " is not here");
            CHECK(check_book(closed.file)->photos_missing == 1);
        }
    }

    TEST_CASE("no damaged byte of the file is taken for truth")
    {
        const Closed      closed;
        std::fstream      file(closed.file, std::ios::in | std::ios::out | std::ios::binary);
        const std::string head = "\"value\":";
        std::string       bytes{std::istreambuf_iterator<char>(file), {}};
        int               changed = 0;
        for (std::size_t at = bytes.find(head); at != std::string::npos; at = bytes.find(head, at + 1)) {
            std::string other       = bytes;
            other[at + head.size()] = '7';
            if (other == bytes) continue;
            file.clear();
            file.seekp(0);
            file.write(other.data(), static_cast<std::streamsize>(other.size()));
            file.flush();
            CHECK(closed.first_break() != "");
            ++changed;
        }
        CHECK(changed >= 8);
    }

    TEST_CASE("a check can be stopped, and then proves nothing")
    {
        const TempFolder folder;
        const FakeClock  clock;
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            std::vector<Draft> many;
            for (int i = 0; i < 300; ++i)
                many.push_back(reading("2219", "A", "seat", i));
            REQUIRE(book->append_all(many));
        }
        const auto report = check_book(folder / "t.book", [](std::size_t, std::size_t) { return false; });
        REQUIRE_FALSE(report);
        CHECK(report.error().fault == Fault::refused);
    }

    TEST_CASE("a check that was stopped is gone on with: signatures of the same bytes are not verified again")
    {
        const Closed book;
        CheckedSoFar so_far;
        const auto   stopped = check_book(
              book.file, [](std::size_t, std::size_t) { return false; }, &so_far);
        REQUIRE_FALSE(stopped);
        CHECK(stopped.error().fault == Fault::refused);
        REQUIRE(so_far.chains.size() == 1);
        CHECK(so_far.chains.begin()->second.seq == 11); // all of a small book is one piece

        const auto report = check_book(book.file, {}, &so_far);
        REQUIRE(report);
        CHECK(report->whole);
        CHECK(report->entries == 11);
        CHECK(report->signatures == 11);
        CHECK(report->taken_over == 11);
    }

    TEST_CASE("a line that was changed since is found by the check that goes on")
    {
        for (const char* sql : {"UPDATE entry SET line = replace(line, '\"value\":3', '\"value\":4')",
                                "UPDATE entry SET line = iif(line LIKE 'f%', 'e', 'f') || substr(line, 2) "
                                "WHERE place & 1099511627775 = 5",
                                "UPDATE entry SET job = '2220' WHERE place & 1099511627775 = 5",
                                "DELETE FROM entry WHERE place & 1099511627775 = 5"}) {
            const Closed book;
            CheckedSoFar so_far;
            REQUIRE(check_book(book.file, {}, &so_far));
            book.tamper(sql);
            const auto report = check_book(book.file, {}, &so_far);
            REQUIRE(report);
            CHECK_FALSE(report->whole);
            CHECK(so_far.chains.empty()); // nothing broken is taken over by the next one
        }
    }

    TEST_CASE("what says how far a check came is worth nothing by itself")
    {
        const Closed book;
        CheckedSoFar so_far;
        REQUIRE(check_book(book.file, {}, &so_far));
        so_far.chains.begin()->second.lines_sha256 = std::string(64, '0');
        const auto report                          = check_book(book.file, {}, &so_far);
        REQUIRE(report);
        CHECK(report->whole);
        CHECK(report->taken_over == 0);
    }

    TEST_CASE("the extent of a break has both its ends named")
    {
        const Closed book;
        book.tamper("UPDATE entry SET line = iif(line LIKE 'f%', 'e', 'f') || substr(line, 2) "
                    "WHERE place & 1099511627775 IN (4, 6, 9)");
        const auto report = check_book(book.file);
        REQUIRE(report);
        CHECK(report->breaks >= 3);
        CHECK(report->first_break.find("entry 4") != std::string::npos);
        CHECK(report->last_break.find("entry 10") != std::string::npos); // nothing shows what it follows
    }

    TEST_CASE("rows out of order in a damaged file end the check, they do not send it round for ever")
    {
        TempFolder        folder;
        FakeClock         clock;
        const auto        file = folder / "t.book";
        std::vector<char> whole;
        {
            auto book = Book::open(file, clock, {.machine_name = "T-03"});
            REQUIRE(book);
            for (int i = 0; i < 40; ++i)
                REQUIRE(book->append(reading("2219", "A", "seat", i)));
        }
        {
            std::ifstream in(file, std::ios::binary);
            whole.assign(std::istreambuf_iterator<char>(in), {});
        }
        int damaged = 0;
        for (int seq = 1; seq <= 40; ++seq) {
            // The place of an entry as sqlite writes it (fileformat2.html, "varint"): 2^40 + seq in groups of
            // 7 bits. One bit of it makes 2^18 of nothing.
            const std::array<char, 6> place{'\xA0', '\x80', '\x80', '\x80', '\x80', static_cast<char>(seq)};
            auto at = std::search(whole.begin(), whole.end(), place.begin(), place.end());
            for (; at != whole.end(); at = std::search(at + 1, whole.end(), place.begin(), place.end())) {
                auto bytes = whole;
                bytes[static_cast<std::size_t>(at - whole.begin()) + 3] ^= 0x10;
                std::ofstream(file, std::ios::binary)
                    .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
                const auto report = check_book(file);
                CHECK((!report || !report->whole));
                ++damaged;
                BookOptions reads;
                reads.read_only = true;
                const auto book = Book::open(file, clock, reads);
                if (!book) continue;
                std::uint64_t next = 1;
                for (const Entry& entry : book->entries_of_machine(book->device(), 1, 100))
                    CHECK(entry.seq == next++);
            }
        }
        CHECK(damaged >= 40);
    }

    TEST_CASE("the copy the catalogue is read from must say what the signed line says")
    {
        TempFolder folder;
        FakeClock  clock;
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            REQUIRE(book->append(draft(kind::person, {{"badge", "417"}, {"role", "fitter"}})));
        }
        auto db = Db::open(folder / "t.book", Db::Mode::write);
        REQUIRE(db);
        REQUIRE(db->run("UPDATE plain SET line = replace(line, 'fitter', 'auditor')"));
        const auto report = check_book(folder / "t.book");
        REQUIRE(report);
        CHECK(report->first_break.find("index does not say") != std::string::npos);
    }
}
