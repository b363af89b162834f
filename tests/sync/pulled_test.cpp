#include <algorithm>
#include <map>

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

/// What a machine knows, to compare across runs: entries by machine and number, photos with their bytes.
struct Known {
    std::string              state;
    std::vector<std::string> said; ///< ids of what people said, witnesses left out
    std::vector<std::string> photos;
    bool                     operator==(const Known&) const = default;
};

Known known(Machine& machine)
{
    Known it{state_hash(machine.book), {}, {}};
    for (const char* kind : {kind::genesis, kind::reading, kind::photo})
        for (const Entry& entry : machine.book.entries_of_kind(kind))
            it.said.push_back(entry.id);
    CHECK(machine.count(kind::witness) <= 4); // at most one more each than in a calm run
    for (const std::string& sha256 : machine.book.photo_hashes())
        if (machine.book.photos().read(sha256)) it.photos.push_back(sha256);
    return it;
}

struct Outcome {
    Known       a, b;
    std::size_t operations = 0; ///< of the pass under test
    bool        pulled     = false;
    std::size_t left_over  = 0;
};

/// A and B with something to say; A has published; B's pass is the one where the plug is pulled, then all is
/// put right and both exchange until it is quiet.
Outcome run(std::size_t pull_at, Pulled how, bool publisher)
{
    const TempFolder place;
    FakeClock        clock;
    MemoryFolder     folder;
    Machine          a(place, clock, 1);
    Machine          b(place, clock, 2);
    a.read("2219", 1);
    a.photo("2219", 1);
    b.read("2219", 2);
    b.photo("2219", 2);
    if (!publisher) a.exchange(folder, clock);
    Machine&            tested = publisher ? a : b;
    const std::uint64_t before = tested.book.size();
    folder.operations          = 0;
    folder.pull_at             = pull_at;
    folder.pulled              = how;
    const auto cut             = share::exchange(tested.book, folder, clock);
    Outcome    outcome;
    outcome.operations = folder.operations;
    outcome.pulled     = !cut;
    if (!cut) CHECK_FALSE(cut.error().message.empty());
    CHECK(tested.book.size() >= before);
    folder.plug_in();
    for (int round = 0; round < 4; ++round)
        for (Machine* machine : {&b, &a}) {
            const auto report = machine->exchange(folder, clock);
            CHECK(report.count(share::State::fork) == 0);
        }
    outcome.a         = known(a);
    outcome.b         = known(b);
    outcome.left_over = folder.with("/.p-").size();
    // What is said "in the folder" can be read there by a stranger.
    Machine c(place, clock, 3);
    c.exchange(folder, clock);
    for (const Machine* machine : {&a, &b})
        for (const Entry& entry : machine->book.entries_of_machine(machine->book.device(), 1, 1000))
            if (machine->book.reach(entry) != Reach::on_this_machine) CHECK(c.book.entry(entry.id));
    return outcome;
}

} // namespace

TEST_SUITE("sync/pulled stick")
{
    TEST_CASE("a stick pulled at any operation, in any way, loses nothing, doubles nothing, invents nothing")
    {
        int cases = 0, lost = 0, unequal = 0;
        for (const bool publisher : {true, false}) {
            const Outcome whole = run(0, Pulled::nothing, publisher);
            REQUIRE(whole.a == whole.b);
            REQUIRE(whole.a.photos.size() == 2);
            for (std::size_t at = 1; at <= whole.operations; ++at)
                for (const Pulled how :
                     {Pulled::nothing, Pulled::temporary, Pulled::torn, Pulled::zeros, Pulled::whole}) {
                    CAPTURE(at);
                    CAPTURE(static_cast<int>(how));
                    CAPTURE(publisher);
                    const Outcome after = run(at, how, publisher);
                    CHECK(after.pulled);
                    CHECK(after.a == after.b);
                    CHECK(after.left_over == 0);
                    if (after.a.photos != whole.a.photos) ++lost;
                    if (after.a.said != whole.a.said) ++unequal;
                    ++cases;
                }
        }
        MESSAGE(cases << " cases: photos lost " << lost << ", runs that lost, doubled or invented an entry "
                      << unequal);
        CHECK(cases >= 100);
        CHECK(lost == 0);
        CHECK(unequal == 0);
    }
}
