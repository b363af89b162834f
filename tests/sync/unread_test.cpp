// A tablet whose own disk does not give a photo when it is to be sent: nothing is called "in the folder"
// whose photo is not, and one bad spot of a disk does not hold the record back for ever.
#include "tests/support/real_disk.h"
#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
namespace fs = std::filesystem;

namespace {

constexpr int kNeverAgain = 1'000'000;

/// The real disk that fails to read a photo so many times.
class StubbornDisk final : public support::RealDisk {
  public:
    mutable int failures = 0;

    [[nodiscard]] Result<std::vector<unsigned char>> read_whole(const fs::path& file,
                                                                std::size_t     most) const override
    {
        if (file.extension() != ".jpg" || failures == 0) return RealDisk::read_whole(file, most);
        --failures;
        return failure(Fault::io, file.filename().string() + " cannot be read.");
    }
};

/// A tablet that has said two readings, then a photo, then one more; an office whose record lies in the
/// folder.
struct Shop {
    support::TempFolder place;
    support::FakeClock  clock;
    StubbornDisk        disk;
    MemoryFolder        folder;
    Machine             tablet, office;
    std::string         photo;
    std::uint64_t       before = 0, last = 0; ///< tablet's entries before the photo; all

    Shop() : tablet(Machine::made(place / "m1.book", clock, 1, "saltmarsh", &disk)), office(place, clock, 2)
    {
        office.read("2219", 7);
        office.exchange(folder, clock);
        tablet.read("2219", 1);
        tablet.read("2219", 2);
        before = own_last();
        photo  = tablet.photo("2219", 1);
        tablet.read("2219", 3);
        last = own_last();
    }
    [[nodiscard]] std::uint64_t own_last() const { return tablet.book.machines().front().last_seq; }
    /// Entries of the tablet another machine finds in the folder.
    std::uint64_t seen_by_others()
    {
        Machine reader(place, clock, 3);
        reader.exchange(folder, clock);
        for (const auto& machine : reader.book.machines())
            if (machine.dev == tablet.book.device()) return machine.last_seq;
        return 0;
    }
};

} // namespace

TEST_SUITE("sync/unread")
{
    TEST_CASE("a photo the disk gives at the second attempt is sent in the same pass, and nobody is bothered")
    {
        Shop shop;
        shop.disk.failures = 1;
        const auto report  = shop.tablet.exchange(shop.folder, shop.clock);
        CHECK(report.photos_out == 1);
        CHECK(report.findings.empty());
        CHECK(shop.tablet.book.published_seq() >= shop.last);
        CHECK(shop.seen_by_others() >= shop.last);
    }

    TEST_CASE(
        "a photo the disk does not give holds back the entry that names it and what follows, and says so")
    {
        Shop shop;
        shop.disk.failures = kNeverAgain;
        const auto stopped = share::exchange(shop.tablet.book, shop.folder, shop.clock);
        REQUIRE_FALSE(stopped);
        CHECK(stopped.error().message.find("entry " + std::to_string(shop.before + 1)) != std::string::npos);
        CHECK(shop.tablet.book.published_seq() == shop.before);
        CHECK(shop.seen_by_others() == shop.before);
        CHECK(shop.tablet.book.machines().size() == 2); // the office's record came in all the same

        shop.disk.failures = 0;
        CHECK(shop.tablet.exchange(shop.folder, shop.clock).photos_out == 1);
        CHECK(shop.tablet.book.published_seq() >= shop.last);
        CHECK(shop.seen_by_others() >= shop.last);
    }

    TEST_CASE("after a day the record goes without the photo, and the report names it")
    {
        Shop shop;
        shop.disk.failures = kNeverAgain;
        REQUIRE_FALSE(share::exchange(shop.tablet.book, shop.folder, shop.clock));
        shop.clock.advance_minutes(600);
        REQUIRE_FALSE(share::exchange(shop.tablet.book, shop.folder, shop.clock));
        shop.clock.advance_minutes(1560);
        const auto report = shop.tablet.exchange(shop.folder, shop.clock);
        CHECK(report.count(share::State::waiting) >= 1);
        CHECK(shop.seen_by_others() >= shop.last);
    }

    TEST_CASE("every photo the record names is looked for, however many: some in each piece")
    {
        constexpr int kEntries = 12, kPhotosEach = 100; // hashes nobody has a picture of
        Shop          shop;
        for (int i = 0; i < kEntries; ++i) {
            nlohmann::json named = nlohmann::json::array();
            for (int j = 0; j < kPhotosEach; ++j)
                named.push_back(engine::hex(engine::sha256(std::to_string(i * kPhotosEach + j))));
            const engine::Draft draft{
                "417",
                engine::kind::problem,
                "2219",
                "A",
                "seat",
                {},
                std::make_shared<const nlohmann::json>(nlohmann::json{{"photos", std::move(named)}})};
            REQUIRE(shop.tablet.book.append(draft));
        }
        share::Exchange pass(shop.tablet.book, shop.clock);
        std::size_t     most = 0;
        while (const auto work = pass.next()) {
            most = std::max(most, work->named.size());
            pass.absorb(share::perform(*work, shop.folder));
        }
        CHECK_FALSE(pass.error());
        CHECK(pass.report().photos_waiting == kEntries * kPhotosEach);
        CHECK(most < kEntries * kPhotosEach);
    }

    TEST_CASE("a photo damaged on the tablet holds nothing back: no later day brings it")
    {
        Shop       shop;
        const auto at = shop.tablet.book.photos().path_of(shop.photo);
        fs::resize_file(at, fs::file_size(at) - 1);
        const auto report = shop.tablet.exchange(shop.folder, shop.clock);
        CHECK(report.count(share::State::waiting) >= 1);
        CHECK(shop.seen_by_others() >= shop.last);
    }
}
