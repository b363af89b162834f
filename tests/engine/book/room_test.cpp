// Room on the disk: ballast, how full it is, and photos that may leave. TRUST in the record comes first:
// nothing leaves before another machine has read it in the shared folder.
#include "engine/book/book.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sys/mount.h>
#include <unistd.h>

#include <fstream>

#include "tests/engine/book/drafts.h"
#include "tests/engine/book/jpeg.h"
#include "tests/support/fake_clock.h"
#include "tests/support/real_disk.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

constexpr std::uint64_t kMega = 1024UL * 1024;

/// The real disk, with as much room as the test says; what gives up the ballast gets that much back.
class TightIo final : public support::RealDisk {
  public:
    std::uint64_t room  = 10'000 * kMega;
    int           fulls = 0; ///< so many writes of whole files meet a full disk

    [[nodiscard]] Status write_whole(const fs::path& file, std::span<const unsigned char> bytes) override
    {
        if (fulls > 0 && fulls-- > 0) return failure(Fault::no_space, "The disk is full.");
        return RealDisk::write_whole(file, bytes);
    }
    [[nodiscard]] Result<std::uint64_t> free_bytes(const fs::path&) const override { return room; }
};

BookOptions with_ballast(Io& io, std::uint64_t bytes)
{
    BookOptions options;
    options.io            = &io;
    options.ballast_bytes = bytes;
    return options;
}

fs::path ballast_of(const fs::path& book)
{
    return book.string() + ".d/ballast";
}

/// A photo entry of `book`, its bytes kept.
std::string keep_photo(Book& book, unsigned char shade)
{
    const auto kept = book.photos().keep(picture(32, 32, shade));
    REQUIRE(kept);
    Draft photo = draft(kind::photo, {{"ask", "seat"}, {"sha256", kept->sha256}});
    photo.job   = "2219";
    REQUIRE(book.append(photo));
    return kept->sha256;
}

/// An office that has read everything `tablet` has said so far, and says so; the tablet has read that.
void read_elsewhere(Book& tablet, Book& office)
{
    for (const auto& machine : tablet.machines())
        if (machine.self) REQUIRE(office.take_in(tablet.entries_of_machine(machine.dev, 1, 1000)));
    std::uint64_t last = 0;
    for (const auto& machine : tablet.machines())
        if (machine.self) last = machine.last_seq;
    REQUIRE(office.append(draft(kind::witness, {{"dev", tablet.device()}, {"seq", last}})));
    REQUIRE(tablet.take_in(office.entries_of_machine(office.device(), 1, 1000)));
}

} // namespace

TEST_SUITE("engine/book/room")
{
    TEST_CASE("the level follows the room that is left")
    {
        const TempFolder folder;
        const FakeClock  clock;
        TightIo          io;
        auto             book = Book::open(folder / "t.book", clock, with_ballast(io, 0));
        REQUIRE(book);
        CHECK(book->space().level == SpaceLevel::ok);
        io.room = kLowSpace - 1;
        CHECK(book->space().level == SpaceLevel::low);
        io.room = kCriticalSpace - 1;
        CHECK(book->space().level == SpaceLevel::critical);
        CHECK(book->space().free_bytes == kCriticalSpace - 1);
    }

    TEST_CASE("the ballast really holds its place, and is not laid where it would fill the disk")
    {
        const TempFolder folder;
        const FakeClock  clock;
        TightIo          io;
        io.room = 3 * kMega;
        {
            auto book = Book::open(folder / "t.book", clock, with_ballast(io, 2 * kMega));
            REQUIRE(book);
            CHECK_FALSE(fs::exists(ballast_of(folder / "t.book")));
        }
        io.room   = 100 * kMega;
        auto book = Book::open(folder / "t.book", clock, with_ballast(io, 2 * kMega));
        REQUIRE(book);
        CHECK(fs::file_size(ballast_of(folder / "t.book")) == 2 * kMega);
    }

    TEST_CASE("a photo of the step in hand gets the room of the ballast; it comes back when there is room")
    {
        const TempFolder folder;
        const FakeClock  clock;
        TightIo          io;
        auto             book = Book::open(folder / "t.book", clock, with_ballast(io, kMega));
        REQUIRE(book);
        io.fulls         = 1;
        const auto plain = book->photos().keep(picture(32, 32, 7));
        REQUIRE_FALSE(plain);
        CHECK(plain.error().fault == Fault::no_space);
        CHECK(fs::exists(ballast_of(folder / "t.book")));

        io.fulls = 1;
        CHECK(book->photos().keep_at_any_cost(picture(32, 32, 7)));
        CHECK_FALSE(fs::exists(ballast_of(folder / "t.book")));
        io.room = kLowSpace - 1;
        CHECK(book->space().level == SpaceLevel::critical); // the reserve is used up

        io.room = 1000 * kMega;
        CHECK(book->tend_space());
        CHECK(fs::exists(ballast_of(folder / "t.book")));
    }

    TEST_CASE("an entry on a full disk gets the room of the ballast")
    {
        const TempFolder folder;
        const fs::path   small = folder / "small";
        fs::create_directories(small);
        if (::geteuid() != 0 || ::mount("none", small.c_str(), "tmpfs", 0, "size=4m") != 0) {
            MESSAGE("!!! NOT ROOT, OR NO TMPFS CAN BE MOUNTED HERE: A REALLY FULL DISK IS NOT TRIED");
            return;
        }
        {
            const FakeClock clock;
            auto            book = Book::open(small / "t.book", clock, with_ballast(disk_io(), kMega));
            REQUIRE(book);
            REQUIRE(fs::exists(ballast_of(small / "t.book")));
            std::ofstream(small / "rubbish", std::ios::binary)
                << std::string(8 * kMega, 'x'); // as much as there is
            std::size_t kept = 0;
            while (fs::exists(ballast_of(small / "t.book")) && kept < 5000) {
                REQUIRE(book->append(reading("2219", "A", "seat", static_cast<int>(kept))));
                ++kept;
            }
            CHECK(kept > 0);
            CHECK_FALSE(fs::exists(ballast_of(small / "t.book")));
            CHECK(book->append(reading("2219", "A", "seat", -1))); // the step can still be closed
            CHECK(book->space().level == SpaceLevel::critical);
            const std::size_t all = book->size();
            fs::remove(small / "rubbish");
            CHECK(book->entries_of_job("2219").size() + 1 == all);
        }
        CHECK(check_book(small / "t.book")->whole);
        ::umount2(small.c_str(), MNT_DETACH);
    }

    TEST_CASE("a photo leaves only when it was sent and another machine has read its entry")
    {
        const TempFolder folder;
        const FakeClock  clock;
        auto             tablet = Book::open(folder / "t.book", clock);
        auto             office = Book::open(folder / "o.book", clock);
        REQUIRE(tablet);
        REQUIRE(office);
        const std::string first = keep_photo(*tablet, 1);
        CHECK(tablet->photos_that_may_leave(10).empty());
        read_elsewhere(*tablet, *office);
        CHECK(tablet->photos_that_may_leave(10).empty()); // not marked as sent
        CHECK(tablet->let_go(first).error().fault == Fault::refused);
        REQUIRE(tablet->mark_published(2));
        const std::string second = keep_photo(*tablet, 2);
        CHECK(tablet->photos_that_may_leave(10) == std::vector<std::string>{first});
        CHECK(tablet->let_go(second).error().fault == Fault::refused);

        REQUIRE(tablet->let_go(first));
        CHECK_FALSE(tablet->photos().has(first));
        CHECK(tablet->photo_place(first) == Book::PhotoPlace::in_folder);
        CHECK(tablet->photo_place(second) == Book::PhotoPlace::here);
        CHECK(tablet->photo_place(std::string(64, 'a')) == Book::PhotoPlace::missing);
        CHECK(tablet->photos_let_go() == 1);
        CHECK(tablet->entries_of_job("2219").size() == 2); // entries never leave
        CHECK(tablet->photos_cared_for("", 10) == std::vector<std::string>{second});
        const auto report = check_book(folder / "t.book");
        REQUIRE(report);
        CHECK(report->whole);
        CHECK(report->photos_away == 1);
        CHECK(report->photos_missing == 0);

        // Asked back it is cared for again, and a start of the app does not forget it.
        REQUIRE(tablet->want_back(first));
        tablet = failure(Fault::not_found, "closed");
        tablet = Book::open(folder / "t.book", clock);
        REQUIRE(tablet);
        CHECK(tablet->photo_place(first) == Book::PhotoPlace::asked_for);
        CHECK(tablet->photos_let_go() == 0);
        CHECK(check_book(folder / "t.book")->whole);
        const std::string low = std::min(first, second), high = std::max(first, second);
        CHECK(tablet->photos_cared_for("", 1) == std::vector<std::string>{low});
        CHECK(tablet->photos_cared_for(low, 1) == std::vector<std::string>{high});
        CHECK(tablet->photos_cared_for(high, 1).empty());
    }

    TEST_CASE("a photo that two entries name waits for both")
    {
        const TempFolder folder;
        const FakeClock  clock;
        auto             tablet = Book::open(folder / "t.book", clock);
        auto             office = Book::open(folder / "o.book", clock);
        const auto       sha    = keep_photo(*tablet, 1);
        read_elsewhere(*tablet, *office);
        REQUIRE(tablet->mark_published(2));
        CHECK(tablet->photos_that_may_leave(10).size() == 1);
        CHECK(keep_photo(*tablet, 1) == sha);
        CHECK(tablet->photos_that_may_leave(10).empty());
    }

    TEST_CASE("the oldest photos leave first")
    {
        const TempFolder         folder;
        FakeClock                clock;
        auto                     tablet = Book::open(folder / "t.book", clock);
        auto                     office = Book::open(folder / "o.book", clock);
        std::vector<std::string> taken;
        for (unsigned char shade = 1; shade <= 4; ++shade) {
            clock.advance_minutes(1);
            taken.push_back(keep_photo(*tablet, shade));
        }
        read_elsewhere(*tablet, *office);
        REQUIRE(tablet->mark_published(5));
        CHECK(tablet->photos_that_may_leave(2) == std::vector<std::string>{taken[0], taken[1]});
    }
}
