// Row 5 of the plan: no memory. Every allocation of C++ and of sqlite stands here, and the n-th is refused.
#include "engine/base/memory_reserve.h"

#include <malloc.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <cstdlib>
#include <new>

#include "tests/sync/plant.h"
#include "tests/trust/short_shift.h"
#include "tests/trust/sizes.h"

using namespace engine;
using namespace trust;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

/// Counts the calls, and refuses from one of them on: that one only, all of them, or whatever would make more
/// live than lived then.
struct Refusal {
    enum class How { once, for_good, no_more_than_now };
    std::atomic<std::size_t> calls{0};
    std::atomic<std::size_t> at{0}; ///< 0: never
    std::atomic<How>         how{How::once};
    std::atomic<std::size_t> live{0}, most{0};

    bool refuses(std::size_t bytes)
    {
        const std::size_t call = ++calls;
        if (at == 0 || call < at) return false;
        if (call == at) most = live.load();
        if (how == How::once) return call == at;
        return how == How::for_good || live + bytes > most;
    }
    void* take(std::size_t bytes)
    {
        if (refuses(bytes)) return nullptr;
        void* const made = std::malloc(bytes == 0 ? 1 : bytes);
        if (made != nullptr) live += malloc_usable_size(made);
        return made;
    }
    void give(void* held)
    {
        if (held != nullptr) live -= malloc_usable_size(held);
        std::free(held);
    }
    void from(std::size_t call, How in_which_way) { calls = 0, at = call, how = in_which_way; }
    void never() { at = 0; }
};

Refusal of_new,
    of_sqlite; // NOLINT(cppcoreguidelines-avoid-non-const-global-variables): the allocators are global

void stand_before_sqlite()
{
    static const bool done = [] {
        static sqlite3_mem_methods usual{};
        sqlite3_config(SQLITE_CONFIG_GETMALLOC, &usual);
        sqlite3_mem_methods ours = usual;
        ours.xMalloc             = [](int bytes) {
            return of_sqlite.refuses(static_cast<std::size_t>(bytes)) ? nullptr : usual.xMalloc(bytes);
        };
        ours.xRealloc = [](void* held, int bytes) {
            return of_sqlite.refuses(static_cast<std::size_t>(bytes)) ? nullptr : usual.xRealloc(held, bytes);
        };
        return sqlite3_config(SQLITE_CONFIG_MALLOC, &ours) == SQLITE_OK;
    }();
    REQUIRE(done);
}

} // namespace

void* operator new(std::size_t bytes)
{
    for (;;) {
        if (void* const made = of_new.take(bytes)) return made;
        const std::new_handler handler = std::get_new_handler();
        if (handler == nullptr) throw std::bad_alloc();
        handler();
    }
}
void* operator new[](std::size_t bytes)
{
    return operator new(bytes);
}
void* operator new(std::size_t bytes, const std::nothrow_t&) noexcept
{
    try {
        return operator new(bytes);
    } catch (const std::bad_alloc&) {
        return nullptr;
    }
}
void* operator new[](std::size_t bytes, const std::nothrow_t&) noexcept
{
    return of_new.take(bytes); // what the reserve is put by with: asks no handler
}
void operator delete(void* held) noexcept
{
    of_new.give(held);
}
void operator delete[](void* held) noexcept
{
    of_new.give(held);
}
void operator delete(void* held, std::size_t) noexcept
{
    of_new.give(held);
}
void operator delete[](void* held, std::size_t) noexcept
{
    of_new.give(held);
}

namespace {

/// How many allocations the shift makes when all goes well.
std::size_t calls_of_shift(Refusal& refusal)
{
    for (int i = 0; i < 2; ++i) { // what is made once a process is there the second time
        const TempFolder place;
        Acked            acked;
        refusal.from(0, Refusal::How::once);
        work(place / "t.book", disk_io(), acked);
        REQUIRE(acked.ids.size() == 14);
    }
    return refusal.calls;
}

struct Ended {
    Tally tally;
    int   died = 0; ///< the process did not end in order
};

/// The shift in a process of its own, as what it refuses may end it.
Ended shift_without(Refusal& refusal, std::size_t at, Refusal::How how, bool reserve)
{
    const TempFolder   place;
    const fs::path     file = place / "t.book";
    std::array<int, 2> pipe{};
    REQUIRE(::pipe(pipe.data()) == 0);
    const pid_t child = ::fork();
    if (child == 0) {
        ::close(pipe[0]);
        const rlimit no_core{0, 0};
        ::setrlimit(RLIMIT_CORE, &no_core);
        if (!::freopen("/dev/null", "w", stderr)) ::_exit(8); // the last words of std::terminate
        Acked acked;
        acked.pipe = pipe[1];
        if (reserve) keep_memory_reserve();
        refusal.from(at, how);
        try {
            work(file, disk_io(), acked);
        } catch (const std::bad_alloc&) { // what main makes a sentence of
            ::_exit(0);
        }
        ::_exit(0);
    }
    ::close(pipe[1]);
    const Acked acked = Acked::heard(pipe[0]);
    ::close(pipe[0]);
    int code = 0;
    ::waitpid(child, &code, 0);
    return {checked(file, acked), WIFEXITED(code) && WEXITSTATUS(code) == 0 ? 0 : 1};
}

Ended every_refusal(Refusal& refusal, Refusal::How how, bool reserve, int small)
{
    const std::size_t all   = calls_of_shift(refusal);
    const auto        wish  = static_cast<std::size_t>(trust::size_of_run(small, static_cast<int>(all)));
    const std::size_t every = std::max<std::size_t>(1, all / wish);
    Ended             sum;
    std::string       died_at;
    for (std::size_t at = 1; at <= all; at += every) {
        const Ended one = shift_without(refusal, at, how, reserve);
        sum.tally += one.tally;
        sum.died += one.died;
        if (one.died != 0 && sum.died < 6) died_at += " " + std::to_string(at);
    }
    MESSAGE("row 5: " << all << " allocations, " << sum.tally.cases << " refused: lost/phantom/duplicate = "
                      << sum.tally.lost << "/" << sum.tally.phantom << "/" << sum.tally.duplicate
                      << ", books not whole " << sum.tally.broken << ", processes that died " << sum.died
                      << (died_at.empty() ? died_at : ", first at" + died_at));
    CHECK(sum.tally.cases > 10);
    CHECK(sum.tally.lost == 0);
    CHECK(sum.tally.phantom == 0);
    CHECK(sum.tally.duplicate == 0);
    CHECK(sum.tally.broken == 0);
    return sum;
}

} // namespace

TEST_SUITE("trust row 5: no memory")
{
    TEST_CASE("sqlite without memory once, at any allocation, loses nothing and ends nothing")
    {
        stand_before_sqlite();
        CHECK(every_refusal(of_sqlite, Refusal::How::once, false, 200).died == 0);
    }

    TEST_CASE("sqlite without memory from any allocation on loses nothing and ends nothing")
    {
        stand_before_sqlite();
        CHECK(every_refusal(of_sqlite, Refusal::How::for_good, false, 40).died == 0);
    }

    TEST_CASE("a program whose memory is used up ends what is under way with the reserve")
    {
        CHECK(every_refusal(of_new, Refusal::How::no_more_than_now, true, 40).died == 0);
    }

    TEST_CASE("an allocation refused past every reserve may end the program, and loses nothing")
    {
        (void)every_refusal(of_new, Refusal::How::for_good, false, 40);
    }

    TEST_CASE("the book goes on by itself when sqlite has memory again")
    {
        stand_before_sqlite();
        const std::size_t all    = calls_of_shift(of_sqlite);
        const std::size_t every  = std::max<std::size_t>(1, all / 40);
        int               stuck  = 0;
        int               missed = 0;
        for (std::size_t at = 1; at <= all; at += every) {
            const TempFolder         place;
            const support::FakeClock clock;
            auto                     book = Book::open(place / "t.book", clock, options_of(nullptr));
            REQUIRE(book);
            of_sqlite.from(1 + at % 60, Refusal::How::for_good);
            const bool kept = book->append(word(1)).has_value();
            of_sqlite.never();
            const auto after = book->append(word(2));
            if (!after) ++stuck;
            const std::size_t found = book->entries_of_kind(kind::reading).size();
            if (after && found != (kept ? 2U : 1U)) ++missed;
        }
        CHECK(stuck == 0);
        CHECK(missed == 0);
    }

    TEST_CASE("the reserve is given back once, and memory counts as short until it is put by again")
    {
        keep_memory_reserve();
        CHECK_FALSE(memory_is_short());
        of_new.from(1, Refusal::How::no_more_than_now);
        const std::string long_text(100'000, 'x'); // takes of the reserve
        CHECK(long_text.size() == 100'000);
        CHECK(memory_is_short());
        of_new.never();
        CHECK_FALSE(memory_is_short());
    }
}
