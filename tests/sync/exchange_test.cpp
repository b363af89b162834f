#include <algorithm>

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using share::State;
using support::FakeClock;
using support::TempFolder;

TEST_SUITE("sync/exchange")
{
    TEST_CASE("two machines that exchange know the same entries and hold the same photos")
    {
        const TempFolder  place;
        FakeClock         clock;
        MemoryFolder      folder;
        Machine           a(place, clock, 1);
        Machine           b(place, clock, 2);
        const std::string id    = a.read("2219", 499'870);
        const std::string photo = a.photo("2219", 1);
        b.read("2219", 499'880);

        const auto out = a.exchange(folder, clock);
        CHECK(out.begun);
        CHECK(out.entries_out == 3); // name, reading, photo
        CHECK(out.photos_out == 1);
        CHECK(out.finished);
        CHECK(a.book.reach(*a.book.entry(id)) == Reach::in_folder);

        const auto in = b.exchange(folder, clock);
        CHECK(in.entries_in == 3);
        CHECK(in.photos_in == 1);
        CHECK(in.findings.empty());
        REQUIRE(in.machines.size() == 1);
        CHECK(in.machines.front().name == "T-01");
        CHECK(*b.book.photos().read(photo) == support::numbered_jpeg(1));

        const auto back = a.exchange(folder, clock);
        CHECK(back.entries_in == 3); // name, reading, witness
        CHECK(a.book.reach(*a.book.entry(id)) == Reach::read_back);
        b.exchange(folder, clock);
        CHECK(state_hash(a.book) == state_hash(b.book));
        CHECK(a.book.entries_of_job("2219").size() == 3);
    }

    TEST_CASE("an exchange with nothing new writes nothing, neither in the folder nor in the book")
    {
        const TempFolder place;
        FakeClock        clock;
        MemoryFolder     folder;
        Machine          a(place, clock, 1);
        Machine          b(place, clock, 2);
        a.photo("2219", 1);
        for (int round = 0; round < 2; ++round)
            for (Machine* machine : {&a, &b})
                machine->exchange(folder, clock);
        const auto files   = folder.files;
        const auto entries = a.book.size();
        for (int round = 0; round < 3; ++round)
            for (Machine* machine : {&a, &b}) {
                clock.advance_minutes(1);
                const auto report = machine->exchange(folder, clock);
                CHECK(report.nothing_moved());
                CHECK(report.bytes_out == 0);
                CHECK(report.bytes_in == 0);
            }
        CHECK(folder.files == files);
        CHECK(a.book.size() == entries);
        CHECK(b.book.size() == entries);
        CHECK(a.count(kind::witness) == 2); // one each, and idle machines do not talk for ever
    }

    TEST_CASE("three machines end equal entry for entry whatever the order they exchange in")
    {
        std::vector<int> order{0, 1, 2};
        int              cases = 0;
        do {
            const TempFolder     place;
            FakeClock            clock;
            MemoryFolder         folder;
            std::vector<Machine> machines;
            for (int i = 0; i < 3; ++i)
                machines.emplace_back(place, clock, i + 1);
            for (int round = 0; round < 3; ++round)
                for (const int which : order) {
                    auto& machine = machines[static_cast<std::size_t>(which)];
                    clock.advance(1000);
                    machine.read("2219", which * 10 + round);
                    if (round == which) machine.photo("2219", which);
                    machine.exchange(folder, clock);
                }
            for (int quiet = 0; quiet < 3; ++quiet)
                for (auto& machine : machines)
                    machine.exchange(folder, clock);
            for (auto& machine : machines) {
                CHECK(state_hash(machine.book) == state_hash(machines.front().book));
                CHECK(machine.book.entries_of_job("2219").size() == 12);
                for (const std::string& sha256 : machine.book.photo_hashes())
                    CHECK(machine.book.photos().has(sha256));
            }
            ++cases;
        } while (std::next_permutation(order.begin(), order.end()));
        MESSAGE(cases << " orders");
        CHECK(cases == 6);
    }

    TEST_CASE("a record longer than one segment is cut, and comes together again")
    {
        const TempFolder   place;
        FakeClock          clock;
        MemoryFolder       folder;
        Machine            a(place, clock, 1);
        Machine            b(place, clock, 2);
        std::vector<Draft> drafts;
        for (int i = 0; i < 1300; ++i)
            drafts.push_back({"417", kind::reading, "2219", "A", "seat", {}, {}});
        REQUIRE(a.book.append_all(drafts));
        CHECK(a.exchange(folder, clock).segments_out == 3);
        for (const std::string& path : folder.with("/seg/"))
            CHECK(folder.files[path].size() <= share::kMostBytes);
        CHECK(b.exchange(folder, clock).entries_in == 1301);
        CHECK(folder.with("/head/").size() == 3); // one of a; one of b before its witness, one behind
    }

    TEST_CASE("a folder that was emptied is filled again")
    {
        const TempFolder place;
        FakeClock        clock;
        MemoryFolder     folder;
        Machine          a(place, clock, 1);
        a.photo("2219", 1);
        a.exchange(folder, clock);
        const auto before = folder.files;
        folder.files.clear();
        const auto report = a.exchange(folder, clock);
        CHECK(report.entries_out == 2);
        CHECK(folder.files == before);
    }

    TEST_CASE("a photo that has not come yet waits, and is fetched when it comes")
    {
        const TempFolder place;
        FakeClock        clock;
        MemoryFolder     folder;
        Machine          a(place, clock, 1);
        Machine          b(place, clock, 2);
        const auto       sha256 = a.photo("2219", 1);
        a.exchange(folder, clock);
        const auto path  = folder.with("/blob/").front();
        const auto file  = folder.files.extract(path);
        const auto first = b.exchange(folder, clock);
        CHECK(first.entries_in == 2);
        CHECK(first.photos_waiting == 1);
        REQUIRE(first.count(State::waiting) == 1);
        CHECK(first.findings.front().sentence ==
              "1 photo named in the record is not here and not whole in the folder.");
        CHECK_FALSE(first.set_aside());
        folder.files[path] = file.mapped();
        const auto second  = b.exchange(folder, clock);
        CHECK(second.photos_in == 1);
        CHECK(second.photos_waiting == 0);
        CHECK(b.book.photos().has(sha256));
    }

    TEST_CASE("a machine made anew from an older copy takes its own lines back before it signs new ones")
    {
        const TempFolder place;
        const TempFolder copies;
        FakeClock        clock;
        MemoryFolder     folder;
        namespace fs = std::filesystem;
        {
            Machine a(place, clock, 1);
            a.read("2219", 1);
        }
        fs::copy(place.path(), copies.path(), fs::copy_options::recursive);
        {
            Machine a(place, clock, 1);
            a.read("2219", 2);
            a.read("2219", 3);
            a.exchange(folder, clock);
        }
        Machine    a(copies, clock, 1);
        const auto report = a.exchange(folder, clock);
        CHECK(report.entries_in == 2);
        CHECK(report.findings.empty());
        CHECK(a.book.entries_of_job("2219").size() == 3);
        a.read("2219", 4);
        CHECK(a.exchange(folder, clock).entries_out == 1);
    }

    TEST_CASE("stopped after any piece, the pass goes on next time and comes to the same end")
    {
        int cases = 0;
        for (std::size_t pieces = 1; pieces < 60; ++pieces) {
            const TempFolder place;
            FakeClock        clock;
            MemoryFolder     folder;
            Machine          a(place, clock, 1);
            Machine          b(place, clock, 2);
            a.photo("2219", 1);
            b.read("2219", 2);
            b.photo("2219", 3);
            a.exchange(folder, clock);
            const auto stopped = share::exchange(
                b.book, folder, clock, {.progress = [&](std::size_t done, std::size_t, const std::string&) {
                    return done < pieces;
                }});
            REQUIRE(stopped);
            for (int round = 0; round < 2; ++round)
                for (Machine* machine : {&b, &a})
                    machine->exchange(folder, clock);
            CHECK(state_hash(a.book) == state_hash(b.book));
            CHECK(a.book.size() == 7); // 2 names, 2 photos, 1 reading, 2 witnesses: nothing twice
            ++cases;
            if (stopped->finished) break;
        }
        MESSAGE(cases << " places to stop");
        CHECK(cases > 10);
    }
}
