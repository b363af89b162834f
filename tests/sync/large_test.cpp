// Segments larger than one step of an exchange, and a check of the folder that was stopped.
#include "sync/check_shared.h"

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

void read_many(Machine& machine, FakeClock& clock, int count)
{
    for (int i = 0; i < count; ++i) {
        clock.advance(1000);
        machine.read("2219", 499'000 + i);
    }
}

} // namespace

TEST_SUITE("sync/large")
{
    TEST_CASE("a segment enters the book in short steps, and all of it")
    {
        const TempFolder place;
        FakeClock        clock;
        MemoryFolder     folder;
        Machine          a(place, clock, 1);
        Machine          b(place, clock, 2);
        read_many(a, clock, 400); // one segment, several steps
        CHECK(a.exchange(folder, clock).segments_out == 1);

        share::Exchange pass(b.book, clock);
        std::size_t     before = b.book.size();
        while (const auto work = pass.next()) {
            pass.absorb(share::perform(*work, folder));
            if (b.book.size() - before > 200) FAIL("one step took in too much at once");
            before = b.book.size();
        }
        REQUIRE_FALSE(pass.error());
        CHECK(pass.report().entries_in == 401);
        CHECK(pass.report().segments_in == 1);
        CHECK(b.book.entries_of_job("2219").size() == 400);
        const auto root = b.book.tree_root(a.book.device(), 401);
        REQUIRE(root);
        CHECK(*root == *a.book.tree_root(a.book.device(), 401));
    }

    TEST_CASE("a pass dropped in the middle of a segment is gone on with, and nothing is there twice")
    {
        const TempFolder place;
        FakeClock        clock;
        MemoryFolder     folder;
        Machine          a(place, clock, 1);
        Machine          b(place, clock, 2);
        read_many(a, clock, 400);
        a.exchange(folder, clock);
        {
            share::Exchange pass(b.book, clock);
            while (const auto work = pass.next()) {
                pass.absorb(share::perform(*work, folder));
                if (b.book.size() > 100) break;
            }
        }
        CHECK(b.book.size() < 401);
        b.exchange(folder, clock);
        CHECK(b.book.entries_of_machine(a.book.device(), 1, 1000).size() == 401);
        CHECK(b.count(kind::witness) == 1);
    }

    TEST_CASE("a check of the folder takes over signatures of files with the same bytes, and of no others")
    {
        const TempFolder place;
        FakeClock        clock;
        MemoryFolder     folder;
        Machine          a(place, clock, 1);
        read_many(a, clock, 30);
        a.exchange(folder, clock);
        std::set<std::string> proved;
        std::size_t           looks   = 0;
        auto                  stopped = share::check_shared(
                             folder, [&looks](std::size_t, std::size_t) { return ++looks < 2; }, &proved);
        REQUIRE(stopped);
        CHECK_FALSE(stopped->ended);
        CHECK(proved.size() == 1);
        const auto again = share::check_shared(folder, {}, &proved);
        REQUIRE(again);
        CHECK(again->whole);
        CHECK(again->signatures == 31);
        CHECK(again->taken_over == 31);

        for (auto& [path, bytes] : folder.files)
            if (path.find("/seg/") != std::string::npos)
                bytes[3] = bytes[3] == 'a' ? 'b' : 'a'; // in a signature
        const auto changed = share::check_shared(folder, {}, &proved);
        REQUIRE(changed);
        CHECK_FALSE(changed->whole);
        CHECK(changed->taken_over == 0);
    }
}
