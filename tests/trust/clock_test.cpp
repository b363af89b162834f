// Rows 17 and 18 of the plan: golden folders of released forms, and clocks nobody can trust.
#include "sync/check_shared.h"
#include "sync/disk_folder.h"

#include <filesystem>
#include <fstream>

#include "tests/sync/memory_folder.h"
#include "tests/trust/office.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

fs::path golden(const std::string& name)
{
    return fs::path(WM_SOURCE_DIR) / "tests/golden" / name;
}

/// What a fresh machine that trusts the plant key makes of a folder.
std::string state_of(share::Folder& folder)
{
    const TempFolder place;
    const FakeClock  clock;
    Machine          reader(place, clock, 50);
    const Office     office;
    REQUIRE(reader.book.trust_root(office.key.device()));
    const auto report = share::exchange(reader.book, folder, clock);
    REQUIRE(report);
    std::string state;
    for (const Entry& entry : reader.book.entries_of_job("2219"))
        state += entry.id.substr(0, 8) + " ";
    return state;
}

void make_folder(const fs::path& to)
{
    TempFolder place;
    FakeClock  clock;
    Machine    a(place, clock, 1), b(place, clock, 2);
    Office     office;
    office.add(a.book.device(), "recorder").add(b.book.device(), "planner");
    office.tell(a.book);
    a.read("2219", 1);
    a.photo("2219", 1);
    fs::create_directories(to);
    auto folder = share::DiskFolder::open(to);
    REQUIRE(folder);
    REQUIRE(share::exchange(a.book, *folder, clock));
    REQUIRE(b.book.trust_root(office.key.device()));
    REQUIRE(share::exchange(b.book, *folder, clock));
    clock.advance(60'000);
    b.read("2219", 2);
    REQUIRE(share::exchange(b.book, *folder, clock));
    REQUIRE(share::exchange(a.book, *folder, clock));
}

} // namespace

TEST_SUITE("trust row 17: golden folders")
{
    TEST_CASE("the first folder with roster, heads and witnesses reads as it was written")
    {
        if (std::getenv("WM_MAKE_GOLDEN") != nullptr &&
            !fs::exists(golden("folder1"))) // NOLINT(concurrency-mt-unsafe)
            make_folder(golden("folder1"));
        auto folder = share::DiskFolder::open(golden("folder1"));
        REQUIRE(folder);
        const auto report = share::check_shared(*folder);
        REQUIRE(report);
        CHECK_MESSAGE(report->whole, report->first_break);
        CHECK(report->statements == 3);
        CHECK(report->machines.size() == 2);
        CHECK(report->heads >= 3);
        CHECK(report->witnesses >= 2);
        CHECK(report->photos == 1);
        CHECK(report->set_aside == 0);
        const TempFolder copy;
        fs::copy(golden("folder1"), copy.path(), fs::copy_options::recursive);
        auto writable = share::DiskFolder::open(copy.path());
        REQUIRE(writable);
        CHECK(state_of(*writable) == "d359f671 9fe8ff03 64800039 ");
        CHECK(std::count_if(report->machines.begin(), report->machines.end(),
                            [](const auto& m) { return m.plant == "saltmarsh"; }) == 2);
    }

    TEST_CASE("each file of the golden folder, with one byte changed, is named")
    {
        int files = 0, unnamed = 0;
        for (const auto& item : fs::recursive_directory_iterator(golden("folder1"))) {
            if (!item.is_regular_file() || item.path().filename() == "README.txt") continue;
            const TempFolder copy;
            fs::copy(golden("folder1"), copy.path(), fs::copy_options::recursive);
            const fs::path file = copy.path() / fs::relative(item.path(), golden("folder1"));
            std::fstream   text(file, std::ios::binary | std::ios::in | std::ios::out);
            text.seekp(static_cast<std::streamoff>(fs::file_size(file) / 2));
            text.put('~');
            text.close();
            auto folder = share::DiskFolder::open(copy.path());
            REQUIRE(folder);
            const auto report = share::check_shared(*folder);
            REQUIRE(report);
            if (report->whole) ++unnamed;
            ++files;
        }
        CHECK(files >= 8);
        CHECK(unnamed == 0);
    }
}

TEST_SUITE("trust row 18: clocks")
{
    TEST_CASE("no clock, however wrong, hides a record or has it refused")
    {
        struct Wrong {
            const char*  name;
            std::int64_t wall;
            int          zone;
        };
        constexpr std::int64_t      kHour = 3'600'000, kDay = 24 * kHour;
        const std::array<Wrong, 12> clocks{
            Wrong{"1970", 0, 0},
            Wrong{"before 1970", -5 * kDay, 0},
            Wrong{"an hour back", FakeClock::kStart - kHour, 60},
            Wrong{"a day back", FakeClock::kStart - kDay, 60},
            Wrong{"two seconds back", FakeClock::kStart - 2001, 60},
            Wrong{"sixteen minutes ahead", FakeClock::kStart + std::int64_t{16} * 60'000, 60},
            Wrong{"two days ahead", FakeClock::kStart + 2 * kDay, 60},
            Wrong{"ten years ahead", FakeClock::kStart + 3650 * kDay, 60},
            Wrong{"summer time ends", FakeClock::kStart, 0},
            Wrong{"the far side of the date line", FakeClock::kStart, 840},
            Wrong{"beyond 32 bits of seconds", 4'294'967'296'000 + kDay, 60},
            Wrong{"near the end of what is written", 9'007'199'254'000'000, 60}};
        int hidden = 0, refused = 0, poisoned = 0;
        for (const Wrong& wrong : clocks) {
            TempFolder   place;
            FakeClock    good, bad;
            MemoryFolder folder;
            Machine      a(place, good, 1), b(place, bad, 2);
            const auto   before = b.read("2219", 1);
            bad.set_wall(wrong.wall);
            bad.set_zone(wrong.zone);
            const auto during = b.read("2219", 2);
            bad.set_wall(FakeClock::kStart + 60'000);
            const auto after = b.read("2219", 3);
            b.exchange(folder, bad);
            const auto report = a.exchange(folder, good);
            refused +=
                static_cast<int>(report.count(share::State::refused) + report.count(share::State::waiting));
            const auto shown = a.book.entries_of_job("2219");
            if (shown.size() != 3 || shown[0].id != before || shown[1].id != during || shown[2].id != after)
                ++hidden;
            // A clock far ahead does not push the clocks of others.
            good.advance(1000);
            a.read("2219", 4);
            const auto mine = a.book.entries_of_machine(a.book.device(), 1, 100);
            if (mine.back().hlc_ms > good.now().wall_ms + std::int64_t{15} * 60'000) ++poisoned;
        }
        MESSAGE("row 18: " << clocks.size() << " clocks: hidden " << hidden << ", refused " << refused
                           << ", clocks pushed " << poisoned);
        CHECK(hidden == 0);
        CHECK(refused == 0);
        CHECK(poisoned == 0);
    }
}
