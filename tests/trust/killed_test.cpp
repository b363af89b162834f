// Row 3 of the plan: the program as it is installed, killed at any moment of its work. A = entries whose line
// was read from its standard output, R = what the next start finds, B = what the file asked for.
#include <sys/vfs.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <random>

#include "tests/support/temp_folder.h"
#include "tests/trust/desk.h"
#include "tests/trust/sizes.h"

using trust::Desk;
namespace fs = std::filesystem;

namespace {

constexpr int      kItems       = 80;
constexpr unsigned kLongestWait = 50'000; ///< µs after the first acknowledgement

struct Tally {
    int         kills = 0, cut_short = 0;
    std::size_t acknowledged = 0;
    trust::Loss loss;
};

/// Starts the program on the book, kills it, hands back all it had said.
std::string said_until_killed(const Desk& desk, const fs::path& book, useconds_t wait, bool& by_the_kill)
{
    std::array<int, 2> pipe{};
    REQUIRE(::pipe(pipe.data()) == 0);
    const std::string name = book.string(), file = desk.file();
    const pid_t       child = ::fork();
    if (child == 0) {
        ::dup2(pipe[1], STDOUT_FILENO);
        ::close(pipe[0]);
        ::close(pipe[1]);
        ::execl(WM_PROGRAM, WM_PROGRAM, "fill", file.c_str(), "--book", name.c_str(), "--report", nullptr);
        ::_exit(127);
    }
    ::close(pipe[1]);
    std::string            said;
    std::array<char, 4096> some{};
    const auto             more = [&] {
        const ssize_t got = ::read(pipe[0], some.data(), some.size());
        if (got > 0) said.append(some.data(), static_cast<std::size_t>(got));
        return got > 0;
    };
    while (said.find('\n') == std::string::npos && more()) {
    }
    ::usleep(wait);
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    while (more()) {
    }
    ::close(pipe[0]);
    by_the_kill = WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
    return said;
}

void killed(const Desk& desk, const fs::path& place, int count, std::mt19937& random, Tally& tally)
{
    for (int i = 0; i < count; ++i) {
        const fs::path folder = place / ("kill" + std::to_string(i));
        const fs::path book   = desk.fresh_book(folder);
        bool           killed = false;
        const auto     said =
            said_until_killed(desk, book, static_cast<useconds_t>(random() % kLongestWait), killed);
        const auto acked = trust::acks_in(said);
        CHECK_MESSAGE(!acked.empty(), "the program acknowledged nothing: " << said);
        ++tally.kills;
        tally.acknowledged += acked.size();
        if (killed) ++tally.cut_short;
        tally.loss += next_start(desk, book, acked);
        fs::remove_all(folder);
    }
}

void held(const std::string& where, const Tally& tally)
{
    MESSAGE("row 3, " << where << " (seed 3): " << tally.kills << " kills, " << tally.cut_short
                      << " in the middle of work, " << tally.acknowledged
                      << " acknowledged: " << tally.loss.text());
    tally.loss.check();
    CHECK(2 * tally.cut_short > tally.kills); // else it was not killed at work
}

/// A folder on a real disk, gone when the test ends.
struct DiskPlace {
    fs::path path;
    DiskPlace()
    {
        std::string name = "/var/tmp/witnessmark-XXXXXX";
        if (::mkdtemp(name.data()) != nullptr) path = name;
    }
    DiskPlace(const DiskPlace&)            = delete;
    DiskPlace& operator=(const DiskPlace&) = delete;
    ~DiskPlace()
    {
        std::error_code none;
        fs::remove_all(path, none);
    }
    [[nodiscard]] bool is_memory() const
    {
        constexpr long kMemory = 0x01021994; // TMPFS_MAGIC of linux/magic.h
        struct statfs  facts {};
        return ::statfs(path.c_str(), &facts) != 0 || facts.f_type == kMemory;
    }
};

} // namespace

TEST_SUITE("trust row 3: the program killed")
{
    TEST_CASE("the program killed in the middle of a job loses no entry and no photo it reported")
    {
        const support::TempFolder place;
        const Desk                desk(place / "desk", kItems);
        std::mt19937              random(3);
        Tally                     in_memory;
        killed(desk, place.path(), trust::size_of_run(11, 2000), random, in_memory);
        held("in memory", in_memory);
        const DiskPlace disk;
        REQUIRE(!disk.path.empty());
        if (disk.is_memory()) MESSAGE("row 3: /var/tmp LIES IN MEMORY HERE; no real disk was tried");
        Tally on_disk;
        killed(desk, disk.path, trust::size_of_run(4, 500), random, on_disk);
        held("on disk", on_disk);
    }
}
