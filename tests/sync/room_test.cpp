// A tablet whose disk fills up: photos others have read in the folder leave it, and come back when they are
// wanted.
#include "engine/book/io.h"

#include "tests/support/real_disk.h"
#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

/// The real disk that says of itself how much room it has.
class SmallDisk final : public support::RealDisk {
  public:
    std::uint64_t room = 10 * kLowSpace;

    [[nodiscard]] Result<std::uint64_t> free_bytes(const fs::path&) const override { return room; }
};

/// A tablet on such a disk and an office, with one photo both have and whose reading the tablet knows of.
struct Pair {
    TempFolder   place;
    FakeClock    clock;
    SmallDisk    disk;
    MemoryFolder folder;
    Machine      tablet, office;
    std::string  photo;

    Pair()
        : tablet(Machine::made(place / "m1.book", clock, 1, "saltmarsh", &disk)), office(place, clock, 2),
          photo(tablet.photo("2219", 1))
    {
        tablet.exchange(folder, clock);
        office.exchange(folder, clock);
        tablet.exchange(folder, clock);
    }
};

} // namespace

TEST_SUITE("sync/room")
{
    TEST_CASE("with room enough no photo leaves")
    {
        Pair pair;
        CHECK(pair.tablet.exchange(pair.folder, pair.clock).photos_left == 0);
        CHECK(pair.tablet.book.photos().has(pair.photo));
    }

    TEST_CASE(
        "with little room a photo that another machine has read leaves, and is not fetched again by itself")
    {
        Pair pair;
        pair.disk.room = kLowSpace - 1;
        CHECK(pair.tablet.exchange(pair.folder, pair.clock).photos_left == 1);
        CHECK_FALSE(pair.tablet.book.photos().has(pair.photo));
        CHECK(pair.tablet.book.photo_place(pair.photo) == Book::PhotoPlace::in_folder);
        const auto later = pair.tablet.exchange(pair.folder, pair.clock);
        CHECK(later.photos_in == 0);
        CHECK(later.photos_waiting == 0); // nothing is missing
    }

    TEST_CASE("it comes back when it is wanted")
    {
        Pair pair;
        pair.disk.room = kLowSpace - 1;
        pair.tablet.exchange(pair.folder, pair.clock);
        pair.disk.room = 10 * kLowSpace;
        REQUIRE(pair.tablet.book.want_back(pair.photo));
        CHECK(pair.tablet.exchange(pair.folder, pair.clock).photos_in == 1);
        CHECK(*pair.tablet.book.photos().read(pair.photo) == support::numbered_jpeg(1));
    }

    TEST_CASE("a photo whose copy in the folder is damaged or gone stays")
    {
        for (const bool gone : {false, true}) {
            Pair       pair;
            const auto paths = pair.folder.with(pair.photo);
            REQUIRE(paths.size() == 1);
            if (gone)
                pair.folder.files.erase(paths.front());
            else
                pair.folder.files[paths.front()].back() ^= 1;
            pair.disk.room = kLowSpace - 1;
            CHECK(pair.tablet.exchange(pair.folder, pair.clock).photos_left == 0);
            CHECK(pair.tablet.book.photos().has(pair.photo));
        }
    }

    TEST_CASE("a photo nobody else has read yet stays, however full the disk is")
    {
        Pair              pair;
        const std::string fresh = pair.tablet.photo("2219", 2);
        pair.disk.room          = kCriticalSpace - 1;
        pair.tablet.exchange(pair.folder, pair.clock);
        CHECK(pair.tablet.book.photos().has(fresh));
    }

    TEST_CASE("a disk that is nearly full fetches no photo, and says so; the entries come all the same")
    {
        Pair              pair;
        const std::string fresh = pair.office.photo("2219", 3);
        pair.office.exchange(pair.folder, pair.clock);
        pair.disk.room    = kCriticalSpace - 1;
        const auto report = pair.tablet.exchange(pair.folder, pair.clock);
        CHECK(report.photos_in == 0);
        CHECK(report.entries_in > 0);
        REQUIRE_FALSE(report.findings.empty());
        CHECK(report.findings.front().sentence.find("nearly full") != std::string::npos);
        pair.disk.room = 10 * kLowSpace;
        CHECK(pair.tablet.exchange(pair.folder, pair.clock).photos_in == 1);
        CHECK(pair.tablet.book.photos().has(fresh));
    }
}
