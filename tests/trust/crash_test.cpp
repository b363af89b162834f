// Rows 1, 2, 3 and 6 of the plan: power loss at every operation of the disk, again while recovering, a kill
// of the process, a full disk.
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <random>
#include <set>

#include "tests/sync/plant.h"
#include "tests/trust/faulty_disk.h"
#include "tests/trust/short_shift.h"
#include "tests/trust/sizes.h"

using namespace engine;
using namespace trust;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

constexpr std::array kDamages{Damage::dropped, Damage::reordered, Damage::torn, Damage::nul_tail,
                              Damage::kept};

std::size_t operations_of_all()
{
    const TempFolder place;
    FaultyDisk       disk;
    Acked            acked;
    fs::create_directory(place / "a");
    work(place / "a/t.book", disk.io(), acked);
    REQUIRE(acked.ids.size() == 14);
    return disk.operations();
}

/// The crash at one operation with one damage; a second crash while recovering when `again` is not 0.
Tally crashed(std::size_t at, Damage damage, unsigned seed, std::size_t again)
{
    const TempFolder place;
    Acked            acked;
    fs::create_directory(place / "a");
    {
        FaultyDisk disk;
        disk.die_at = at;
        work(place / "a/t.book", disk.io(), acked);
        disk.power_on(place / "a", place / "b", damage, seed);
    }
    if (again == 0) return checked(place / "b/t.book", acked);
    {
        FaultyDisk disk;
        disk.adopt(place / "b");
        disk.die_at = again;
        {
            const FakeClock clock;
            auto            book = Book::open(place / "b/t.book", clock, options_of(&disk.io()));
            if (book && !book->append(word(77))) ++acked.attempted;
        }
        disk.power_on(place / "b", place / "c", damage, seed + 1);
    }
    Tally tally   = judged(place / "c/t.book", acked);
    tally.phantom = 0; // the word said while recovering may be there
    return tally;
}

} // namespace

TEST_SUITE("trust rows 1 to 3 and 6: power, kill, full disk")
{
    TEST_CASE("power lost at any operation of the disk loses nothing that was acknowledged")
    {
        const std::size_t all   = operations_of_all();
        const int         seeds = trust::size_of_run(1, 10);
        const std::size_t every = seeds == 1 ? 17 : 1;
        Tally             tally;
        for (std::size_t at = 1; at <= all; at += every)
            for (const Damage damage : kDamages)
                for (int seed = 0; seed < seeds; ++seed)
                    tally += crashed(at, damage,
                                     static_cast<unsigned>(seed * 1000) + static_cast<unsigned>(at), 0);
        MESSAGE("row 1: " << all << " operations, " << tally.cases
                          << " crashes: lost/phantom/duplicate = " << tally.lost << "/" << tally.phantom
                          << "/" << tally.duplicate << ", books not whole " << tally.broken);
        CHECK(tally.lost == 0);
        CHECK(tally.phantom == 0);
        CHECK(tally.duplicate == 0);
        CHECK(tally.broken == 0);
    }

    TEST_CASE("a disk that says yes to a sync it did not do is found out by these very checks")
    {
        const std::size_t all = operations_of_all();
        Tally             tally;
        for (std::size_t at = 40; at <= all; at += 60) {
            const TempFolder place;
            Acked            acked;
            fs::create_directory(place / "a");
            {
                FaultyDisk disk;
                disk.lies   = true;
                disk.die_at = at;
                work(place / "a/t.book", disk.io(), acked);
                disk.power_on(place / "a", place / "b", Damage::dropped, 1);
            }
            tally += judged(place / "b/t.book", acked);
        }
        CHECK(tally.lost > 0);
    }

    TEST_CASE("power lost again while the book recovers loses nothing either")
    {
        const std::size_t all   = operations_of_all();
        const int         count = trust::size_of_run(60, 20000);
        std::mt19937      random(2);
        Tally             tally;
        for (int i = 0; i < count; ++i)
            tally += crashed(1 + random() % all, kDamages[random() % kDamages.size()],
                             static_cast<unsigned>(i), 1 + random() % 12);
        MESSAGE("row 2: " << tally.cases << " double crashes: lost/duplicate = " << tally.lost << "/"
                          << tally.duplicate);
        CHECK(tally.lost == 0);
        CHECK(tally.duplicate == 0);
    }

    TEST_CASE("a killed process loses nothing it acknowledged")
    {
        const int    count = trust::size_of_run(12, 2000);
        std::mt19937 random(3);
        int          lost = 0, duplicate = 0, phantom = 0, acknowledged = 0;
        for (int i = 0; i < count; ++i) {
            const TempFolder   place;
            std::array<int, 2> pipe{};
            REQUIRE(::pipe(pipe.data()) == 0);
            const pid_t child = ::fork();
            if (child == 0) {
                const FakeClock clock;
                auto            book = Book::open(place / "t.book", clock, options_of(nullptr));
                for (int n = 0; book; ++n) {
                    const auto kept = book->append(word(n));
                    if (!kept || ::write(pipe[1], kept->id.data(), 64) != 64) break;
                }
                ::_exit(0);
            }
            ::close(pipe[1]);
            std::string acked(64, ' ');
            if (::read(pipe[0], acked.data(), acked.size()) != 64) acked.clear();
            ::usleep(static_cast<useconds_t>(random() % 50000));
            ::kill(child, SIGKILL);
            ::waitpid(child, nullptr, 0);
            for (std::array<char, 4096> some{};;) {
                const ssize_t got = ::read(pipe[0], some.data(), some.size());
                if (got <= 0) break;
                acked.append(some.data(), static_cast<std::size_t>(got));
            }
            ::close(pipe[0]);
            if (acked.empty()) continue;
            const FakeClock clock;
            const auto      book = Book::open(place / "t.book", clock, options_of(nullptr));
            REQUIRE_MESSAGE(book, (book ? "" : book.error().message));
            const auto        found = book->entries_of_kind(kind::reading);
            const std::size_t said  = acked.size() / 64;
            acknowledged += static_cast<int>(said);
            for (std::size_t k = 0; k < said; ++k)
                if (!book->entry(acked.substr(64 * k, 64))) ++lost;
            if (found.size() > said + 1) ++phantom;
            std::set<std::string> once;
            for (const Entry& entry : found)
                if (!once.insert(entry.id).second) ++duplicate;
        }
        MESSAGE("row 3: " << count << " kills, " << acknowledged << " acknowledged: lost/phantom/duplicate = "
                          << lost << "/" << phantom << "/" << duplicate);
        CHECK(lost == 0);
        CHECK(phantom == 0);
        CHECK(duplicate == 0);
    }

    TEST_CASE("a disk full at any step loses nothing, and work goes on when there is room again")
    {
        const int   steps = trust::size_of_run(20, 200);
        int         lost = 0, refused = 0, stuck = 0;
        auto* const old = std::signal(SIGXFSZ, SIG_IGN);
        rlimit      before{};
        ::getrlimit(RLIMIT_FSIZE, &before);
        for (int step = 0; step < steps; ++step) {
            const TempFolder place;
            FakeClock        clock;
            auto             book = Book::open(place / "t.book", clock, options_of(nullptr));
            REQUIRE(book);
            std::vector<std::string> acked;
            const rlimit             small{static_cast<rlim_t>(200'000 + step * 37'003), before.rlim_max};
            ::setrlimit(RLIMIT_FSIZE, &small);
            for (int n = 0; n < 60; ++n) {
                clock.advance(1000);
                const auto kept = book->append(word(n));
                if (kept)
                    acked.push_back(kept->id);
                else
                    ++refused;
            }
            ::setrlimit(RLIMIT_FSIZE, &before);
            const auto after = book->append(word(999));
            if (after) acked.push_back(after->id);
            if (!after) ++stuck;
            for (const std::string& id : acked)
                if (!book->entry(id)) ++lost;
        }
        std::signal(SIGXFSZ, old);
        MESSAGE("row 6: " << steps << " full disks, " << refused << " entries refused, lost " << lost
                          << ", stuck " << stuck);
        CHECK(refused > 0);
        CHECK(lost == 0);
        CHECK(stuck == 0);
    }
}
