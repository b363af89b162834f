// Row 11 of the plan: many machines, one folder that shows each reader something else, a clock for everybody,
// clones, power cuts. One seed is one run: WM_SEED=n runs that one and no other.
#include <cstdlib>
#include <fstream>
#include <set>
#include <sstream>

#include "tests/trust/fleet.h"
#include "tests/trust/sizes.h"

using support::FakeClock;
using support::TempFolder;
using trust::Device;
using trust::Outcome;
using trust::Reader;

namespace {

std::vector<unsigned> seeds_of_run(int count)
{
    const char* const told = std::getenv("WM_SEED"); // NOLINT(concurrency-mt-unsafe): one thread
    if (told != nullptr) return {static_cast<unsigned>(std::strtoul(told, nullptr, 10))};
    std::vector<unsigned> seeds;
    for (int seed = 1; seed <= count; ++seed)
        seeds.push_back(static_cast<unsigned>(seed));
    return seeds;
}

/// Three readers of a fleet that only writes; one machine in a hundred, and at least one, is cloned.
Outcome fleet_of_writers(int devices, int entries, unsigned seed)
{
    std::mt19937                         random(seed);
    const TempFolder                     place;
    FakeClock                            clock;
    MemoryFolder                         folder;
    std::vector<Device>                  all;
    std::vector<std::unique_ptr<Reader>> readers;
    for (int i = 0; i < devices; ++i)
        all.push_back(Device::made(i, seed, random));
    for (int i = 0; i < 3; ++i)
        readers.push_back(
            std::make_unique<Reader>(place, clock, 201 + i, folder, 10 * seed + static_cast<unsigned>(i)));
    Outcome   outcome;
    const int rounds   = entries * 2;
    auto      to_clone = static_cast<std::size_t>(1 + devices / 100);
    for (int round = 0; round < rounds; ++round) {
        clock.advance(60'000);
        for (Device& device : all) {
            if (random() % 2 == 0) device.say(clock.now().wall_ms, round);
            if (random() % 4 == 0) device.publish(folder, random);
            if (random() % 100 == 0) device.lose_unsent();
        }
        if (to_clone > 0 && round > rounds / 4) {
            Device clone = all[random() % all.size()];
            all.push_back(std::move(clone));
            --to_clone;
            ++outcome.clones;
        }
        if (round % 5 != 4) continue;
        for (const auto& reader : readers) {
            reader->exchange(&random);
            if (random() % 4 == 0)
                trust::lose_end_of_one(folder, share::device_folder(reader->book().device()), random);
        }
    }
    std::set<std::string> said;
    for (Device& device : all) {
        if (device.said.empty()) device.say(clock.now().wall_ms, 0);
        device.publish(folder, random);
        for (const engine::Entry& entry : device.said)
            said.insert(entry.id);
    }
    settle(readers, place, clock, folder, said, outcome);
    return outcome;
}

/// Every machine writes and reads.
Outcome fleet_of_readers(int machines, int entries, unsigned seed)
{
    std::mt19937                         random(seed);
    const TempFolder                     place;
    FakeClock                            clock;
    MemoryFolder                         folder;
    std::vector<std::unique_ptr<Reader>> readers;
    for (int i = 0; i < machines; ++i)
        readers.push_back(
            std::make_unique<Reader>(place, clock, 1 + i, folder, 1000 * seed + static_cast<unsigned>(i)));
    Outcome               outcome;
    std::set<std::string> said;
    for (int round = 0; round < 2 * entries; ++round) {
        clock.advance(60'000);
        for (const auto& reader : readers) {
            if (random() % 2 == 0) {
                const auto kept = reader->book().append(
                    {"417",
                     engine::kind::reading,
                     "2219",
                     "A",
                     "seat",
                     {},
                     std::make_shared<const nlohmann::json>(nlohmann::json{{"value", round}})});
                REQUIRE(kept);
                said.insert(kept->id);
            }
            if (random() % 6 == 0) reader->exchange(&random);
        }
        if (random() % 4 == 0)
            trust::lose_end_of_one(
                folder, share::device_folder(readers[random() % readers.size()]->book().device()), random);
    }
    settle(readers, place, clock, folder, said, outcome);
    return outcome;
}

void held(const Outcome& outcome, unsigned seed)
{
    INFO("WM_SEED=" << seed << " runs this one again");
    CHECK(outcome.equal);
    CHECK(outcome.complete);
    CHECK(outcome.forks_seen);
}

struct Total {
    std::size_t seeds = 0, entries = 0, clones = 0, passes = 0;
    int         bad = 0, cut_off = 0;
    void        add(const Outcome& outcome)
    {
        ++seeds;
        entries += outcome.entries, clones += outcome.clones, cut_off += outcome.cut_off;
        passes = std::max(passes, outcome.passes);
        bad += outcome.equal && outcome.complete && outcome.forks_seen ? 0 : 1;
    }
    [[nodiscard]] std::string text() const
    {
        return std::to_string(entries) + " entries, " + std::to_string(clones) + " clones, " +
               std::to_string(cut_off) + " passes cut off, at rest after at most " + std::to_string(passes) +
               " passes: seeds that failed " + std::to_string(bad);
    }
};

} // namespace

TEST_SUITE("trust row 11: simulation")
{
    TEST_CASE("a fleet of writers, a folder that shows everybody something else: equal states at the end")
    {
        const int devices = trust::size_of_run(24, 1000);
        const int entries = trust::size_of_run(5, 20);
        Total     total;
        for (const unsigned seed : seeds_of_run(trust::size_of_run(2, 20))) {
            const Outcome outcome = fleet_of_writers(devices, entries, seed);
            held(outcome, seed);
            total.add(outcome);
        }
        MESSAGE("row 11: " << total.seeds << " seeds of " << devices
                           << " machines that write and 3 that read, " << total.text());
    }

    TEST_CASE("a fleet in which everybody writes and reads: equal states at the end")
    {
        const int machines = trust::size_of_run(5, 50);
        Total     total;
        for (const unsigned seed : seeds_of_run(trust::size_of_run(2, 1000))) {
            const Outcome outcome = fleet_of_readers(machines, 4, seed);
            held(outcome, seed);
            total.add(outcome);
        }
        MESSAGE("row 11: " << total.seeds << " seeds of " << machines << " machines that write and read, "
                           << total.text());
    }

    TEST_CASE(
        "a clone that wrote more than the machine met first is read to its end, in any order of its files")
    {
        for (const bool backwards : {false, true}) {
            CAPTURE(backwards);
            std::mt19937     random(1);
            const TempFolder place;
            FakeClock        clock;
            MemoryFolder     folder;
            Device           first    = Device::made(1, 1, random);
            const auto       files_of = [&](const Device& device, std::size_t from) {
                std::vector<std::pair<std::string, MemoryFolder::Bytes>> files;
                for (std::size_t i = from; i < device.said.size(); ++i) {
                    const auto segment = share::cut_segment({device.said[i]});
                    files.emplace_back(
                              share::path_of(share::device_folder(device.key.device()), segment.name),
                              segment.bytes);
                }
                return files;
            };
            for (int i = 0; i < 3; ++i)
                first.say(clock.now().wall_ms, i);
            Device clone = first;
            first.say(clock.now().wall_ms, 100);
            for (int i = 0; i < 6; ++i)
                clone.say(clock.now().wall_ms, 200 + i);
            for (auto& [path, bytes] : files_of(first, 0))
                folder.files[path] = bytes;
            Reader reader(place, clock, 201, folder, 1);
            reader.see_all();
            reader.exchange(nullptr);
            auto later = files_of(clone, 3);
            if (backwards) std::reverse(later.begin(), later.end());
            for (auto& [path, bytes] : later) {
                folder.files[path] = bytes;
                reader.exchange(nullptr);
            }
            reader.exchange(nullptr);
            for (const engine::Entry& entry : clone.said)
                CHECK_MESSAGE(reader.book().entry(entry.id),
                              "entry " << entry.seq << " of the clone is missing");
            CHECK(reader.book().forks().size() == 1);
        }
    }

    TEST_CASE("seeds that failed once end in equal states")
    {
        std::ifstream file(WM_SOURCE_DIR "/tests/trust/seeds.txt");
        REQUIRE(file);
        std::string text;
        while (std::getline(file, text)) {
            std::istringstream line(text);
            std::string        fleet;
            int                machines = 0, entries = 0;
            unsigned           seed = 0;
            if (!(line >> fleet >> machines >> entries >> seed)) continue; // a comment
            CAPTURE(text);
            held(fleet == "writers" ? fleet_of_writers(machines, entries, seed)
                                    : fleet_of_readers(machines, entries, seed),
                 seed);
        }
    }
}
