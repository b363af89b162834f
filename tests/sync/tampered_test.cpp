#include "engine/book/codec.h"
#include "sync/head.h"
#include "sync/segment.h"

#include <algorithm>
#include <array>

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using share::State;
using support::FakeClock;
using support::TempFolder;

namespace {

using Bytes = MemoryFolder::Bytes;

std::string hash32(const Bytes& bytes)
{
    return hex(sha256(bytes)).substr(0, 32);
}

/// The only segment of a machine, taken out of the folder.
struct Taken {
    std::string        devid, path;
    share::SegmentName name;
    Bytes              bytes;
};

Taken take_segment(MemoryFolder& folder, const Machine& machine)
{
    Taken taken;
    taken.devid = machine.devid();
    taken.path  = folder.with("/dev/" + taken.devid + "/seg/").front();
    taken.name  = *share::segment_name(taken.path.substr(taken.path.rfind('/') + 1));
    taken.bytes = folder.files.extract(taken.path).mapped();
    return taken;
}

/// Puts bytes under the name a forger would give them: the hash fits.
std::string put_forged(MemoryFolder& folder, const Taken& taken, const Bytes& bytes)
{
    share::SegmentName name = taken.name;
    name.hash32             = hash32(bytes);
    const std::string path  = share::path_of(taken.devid, name);
    folder.files[path]      = bytes;
    return path;
}

struct Three {
    TempFolder   place;
    FakeClock    clock;
    MemoryFolder folder;
    Machine      a{place, clock, 1}, b{place, clock, 2}, c{place, clock, 3};

    Three()
    {
        a.read("2219", 1);
        a.read("2219", 2);
        b.read("2219", 3);
        a.exchange(folder, clock);
        b.exchange(folder, clock);
    }
};

/// Lines of `machine` as one file, signed by its own key, whatever they say.
std::string sealed(const std::vector<Entry>& entries)
{
    std::string text;
    for (const Entry& entry : entries)
        text += entry.line + "\n";
    return text;
}

Entry signed_entry(int number, std::uint64_t seq, const std::string& prev, const std::string& plant)
{
    std::array<unsigned char, 32> seed{};
    seed.fill(static_cast<unsigned char>(number));
    const MachineKey key = MachineKey::from_seed(seed);
    Entry            entry;
    entry.dev       = key.device();
    entry.seq       = seq;
    entry.prev      = prev;
    entry.hlc_ms    = FakeClock::kStart + static_cast<std::int64_t>(seq);
    entry.wall_ms   = FakeClock::kStart;
    entry.tq        = "manual";
    entry.said.kind = seq == 1 ? kind::genesis : kind::reading;
    entry.said.body = std::make_shared<const nlohmann::json>(
        seq == 1 ? nlohmann::json{{"name", "T-0" + std::to_string(number)}} : nlohmann::json::object());
    REQUIRE(seal_entry(entry, key, plant));
    return entry;
}

/// The code a fresh machine gives to a file of machine 9 made of these lines.
std::string code_for(const std::string& text, std::uint64_t first, std::uint64_t last,
                     const std::string& dev = "")
{
    Three             plant;
    const Bytes       bytes(text.begin(), text.end());
    const std::string owner = dev.empty() ? signed_entry(9, 1, std::string(64, '0'), "saltmarsh").dev : dev;
    plant.folder
        .files[share::path_of(share::device_folder(owner), share::SegmentName{first, last, hash32(bytes)})] =
        bytes;
    const auto report = plant.c.exchange(plant.folder, plant.clock);
    CHECK(report.entries_in ==
          6); // a: name, 2 readings; b: name, reading, witness - the bad one stops nobody
    CHECK(report.findings.size() == 1);
    CHECK(plant.c.count(kind::set_aside) == report.count(State::refused) + report.count(State::fork));
    return report.findings.empty() ? "" : report.findings.front().code;
}

} // namespace

TEST_SUITE("sync/tampered")
{
    TEST_CASE("a segment with any one byte changed is never taken in, under its old name or a new one")
    {
        Three       plant;
        const Taken taken = take_segment(plant.folder, plant.a);
        int         cases = 0, accepted = 0;
        for (std::size_t at = 0; at < taken.bytes.size(); ++at)
            for (const unsigned flip : {0x01U, 0x20U, 0x80U}) {
                Bytes bytes = taken.bytes;
                bytes[at]   = static_cast<unsigned char>(bytes[at] ^ flip);
                auto old    = share::open_segment(bytes, taken.name, taken.devid, "saltmarsh");
                if (old.state != State::unfinished || !old.entries.empty()) ++accepted;
                share::SegmentName forged = taken.name;
                forged.hash32             = hash32(bytes);
                auto fresh                = share::open_segment(bytes, forged, taken.devid, "saltmarsh");
                if (fresh.state != State::refused || !fresh.entries.empty() || fresh.code.empty()) ++accepted;
                cases += 2;
            }
        MESSAGE(cases << " changed segments, accepted " << accepted);
        CHECK(accepted == 0);
        CHECK(cases > 5000);
    }

    TEST_CASE("a changed segment is set aside once, with code and sentence, and the other machines come in")
    {
        Three       plant;
        const Taken taken = take_segment(plant.folder, plant.a);
        Bytes       bytes = taken.bytes;
        const auto  value =
            std::search(bytes.begin(), bytes.end(), std::begin("\"value\":2"), std::end("\"value\":2") - 1);
        REQUIRE(value != bytes.end());
        *(value + 8)            = '7';
        const std::string path  = put_forged(plant.folder, taken, bytes);
        const auto        first = plant.c.exchange(plant.folder, plant.clock);
        CHECK(first.entries_in == 3); // those of b
        REQUIRE(first.count(State::refused) == 1);
        CHECK(first.findings.front().code == "R06");
        CHECK(first.findings.front().first_time);
        CHECK(first.set_aside());
        const auto aside = plant.c.book.entries_of_kind(kind::set_aside);
        REQUIRE(aside.size() == 1);
        CHECK(aside.front().body().at("code") == "R06");
        CHECK(aside.front().body().at("file") == hex(sha256(bytes)));
        CHECK("witnessmark1/" + aside.front().body().at("name").get<std::string>() == path);
        const auto second = plant.c.exchange(plant.folder, plant.clock);
        CHECK(second.count(State::refused) == 1); // still said, not written again
        CHECK_FALSE(second.findings.front().first_time);
        CHECK(second.findings.front().sentence == first.findings.front().sentence);
        CHECK(plant.c.count(kind::set_aside) == 1);
        plant.folder.files[taken.path] = taken.bytes; // the true file heals it
        CHECK(plant.c.exchange(plant.folder, plant.clock).entries_in == 3);
        CHECK(plant.c.book.entries_of_job("2219").size() == 3);
    }

    TEST_CASE("a segment cut short at any length is unfinished or refused, never taken in")
    {
        Three       plant;
        const Taken taken = take_segment(plant.folder, plant.a);
        int         cases = 0, accepted = 0;
        for (std::size_t length = 0; length < taken.bytes.size(); ++length) {
            const Bytes cut(taken.bytes.begin(), taken.bytes.begin() + static_cast<std::ptrdiff_t>(length));
            const auto  old = share::open_segment(cut, taken.name, taken.devid, "saltmarsh");
            if (old.state != State::unfinished || !old.entries.empty()) ++accepted;
            share::SegmentName forged = taken.name;
            forged.hash32             = hash32(cut);
            if (share::open_segment(cut, forged, taken.devid, "saltmarsh").state != State::refused)
                ++accepted;
            Bytes longer = taken.bytes; // and with something behind it
            longer.insert(longer.end(), length + 1, 0);
            forged.hash32 = hash32(longer);
            if (share::open_segment(longer, forged, taken.devid, "saltmarsh").state != State::refused)
                ++accepted;
            cases += 3;
        }
        MESSAGE(cases << " cut or lengthened segments, accepted " << accepted);
        CHECK(accepted == 0);
    }

    TEST_CASE("a short file is unfinished until a day has gone by, and complete when it is complete")
    {
        Three       plant;
        const Taken taken = take_segment(plant.folder, plant.a);
        const Bytes half(taken.bytes.begin(), taken.bytes.begin() + 100);
        plant.folder.files[taken.path] = half;
        auto report                    = plant.c.exchange(plant.folder, plant.clock);
        REQUIRE(report.count(State::unfinished) == 1);
        CHECK_FALSE(report.set_aside());
        plant.clock.advance_minutes(23 * 60 + 59);
        report = plant.c.exchange(plant.folder, plant.clock);
        CHECK(report.count(State::unfinished) == 1);
        plant.clock.advance_minutes(12 * 60 + 2);
        report = plant.c.exchange(plant.folder, plant.clock);
        REQUIRE(report.count(State::refused) == 1);
        CHECK(report.findings.front().code == "R01");
        plant.folder.files[taken.path] = taken.bytes;
        report                         = plant.c.exchange(plant.folder, plant.clock);
        CHECK(report.entries_in == 3);
        CHECK(report.findings.empty());
    }

    TEST_CASE("a short file with a later segment behind it is damaged at once, and its owner sends it again")
    {
        Three       plant;
        const Taken taken              = take_segment(plant.folder, plant.a);
        plant.folder.files[taken.path] = Bytes(taken.bytes.begin(), taken.bytes.begin() + 100);
        plant.a.read("2219", 4);
        plant.a.exchange(plant.folder, plant.clock);
        auto report = plant.c.exchange(plant.folder, plant.clock);
        REQUIRE(report.count(State::refused) == 1);
        CHECK(report.findings.front().code == "R01");
        CHECK(report.count(State::waiting) == 1);    // what follows the gap
        plant.a.exchange(plant.folder, plant.clock); // reads the complaint
        plant.a.exchange(plant.folder, plant.clock); // answers it
        report = plant.c.exchange(plant.folder, plant.clock);
        CHECK(report.findings.empty());
        CHECK(plant.c.book.entries_of_job("2219").size() == 4);
    }

    TEST_CASE("forged and misplaced files get the code of their fault and stop nobody")
    {
        const std::string zeros(64, '0');
        const Entry       one   = signed_entry(9, 1, zeros, "saltmarsh");
        const Entry       two   = signed_entry(9, 2, one.id, "saltmarsh");
        const Entry       loose = signed_entry(9, 2, zeros, "saltmarsh");
        const Entry       third = signed_entry(9, 3, two.id, "saltmarsh");
        const Entry       alien = signed_entry(8, 1, zeros, "saltmarsh");
        const Entry       away  = signed_entry(9, 1, zeros, "other works");
        CHECK(code_for(sealed({one, loose}), 1, 2) == "R07");      // chain broken inside
        CHECK(code_for(sealed({two}), 2, 2) == "R07");             // what comes before is missing
        CHECK(code_for(sealed({one, third}), 1, 2) == "R13");      // an entry left out
        CHECK(code_for(sealed({two, one}), 1, 2) == "R13");        // swapped
        CHECK(code_for(sealed({one, one}), 1, 2) == "R13");        // doubled
        CHECK(code_for(sealed({one}), 1, 2) == "R13");             // fewer than the name says
        CHECK(code_for(sealed({alien}), 1, 1) == "R13");           // in another machine's folder
        CHECK(code_for(sealed({away}), 1, 1) == "R10");            // another plant
        CHECK(code_for(sealed({one, two}) + "\n", 1, 2) == "R02"); // an empty line
        CHECK(code_for("", 1, 1) == "R13");                        // empty
        CHECK(code_for(std::string(share::kLargestSegment + 1, 'x'), 1, 1) == "R02");
        std::string newer = sealed({one});
        newer.replace(newer.find("\"v\":1"), 5, "\"v\":2");
        CHECK(code_for(newer, 1, 1) == "R03");
        const auto swapped = sealed({one}).substr(0, 128) + sealed({two}).substr(128);
        CHECK(code_for(swapped, 2, 2) == "R07"); // not even opened: what comes before is missing
        const auto borrowed = sealed({two}).substr(0, 128) + sealed({one}).substr(128);
        CHECK(code_for(borrowed, 1, 1) == "R06"); // a true signature of another line
    }

    TEST_CASE("one identity on two machines is shown as a fork by everyone, and no other machine suffers")
    {
        const TempFolder place;
        const TempFolder copies;
        FakeClock        clock;
        MemoryFolder     folder;
        Machine          b(place, clock, 2);
        Machine          c(place, clock, 3);
        b.read("2219", 1);
        {
            Machine a(place, clock, 1);
            a.read("2219", 1);
        }
        std::filesystem::copy(place / "m1.book", copies / "m1.book");
        std::filesystem::copy(place / "m1.book.key", copies / "m1.book.key");
        Machine           a(place, clock, 1);
        Machine           clone(copies, clock, 1);
        const std::string shared_key = a.book.device();
        a.read("2219", 2);
        clone.read("2219", 3);
        a.exchange(folder, clock);
        const auto seen = clone.exchange(folder, clock);
        CHECK(seen.count(State::fork) >= 1);
        CHECK(clone.book.device() != shared_key); // it stops signing with that key, and goes on
        for (Machine* machine : {&a, &b, &c}) {
            const auto report = machine->exchange(folder, clock);
            REQUIRE(report.count(State::fork) >= 1);
            CHECK(report.findings.front().code == "R08");
            CHECK(report.set_aside());
        }
        b.exchange(folder, clock);
        c.exchange(folder, clock);
        CHECK(c.book.entries_of_machine(b.book.device(), 1, 100).size() ==
              b.book.entries_of_machine(b.book.device(), 1, 100).size());
        CHECK(b.book.entries_of_machine(shared_key, 1, 2).size() == 2);
        CHECK(c.book.entries_of_job("2219").size() == 4); // both records, and that of b
    }

    TEST_CASE("a photo that is not what its name says, or no picture, is not kept")
    {
        Three      plant;
        const auto sha256_hex = plant.a.photo("2219", 1);
        plant.a.exchange(plant.folder, plant.clock);
        const std::string path = plant.folder.with("/blob/").front();
        const Bytes       good = plant.folder.files[path];
        plant.folder.files[path].resize(good.size() / 2);
        auto report = plant.c.exchange(plant.folder, plant.clock);
        CHECK(report.count(State::unfinished) == 1);
        CHECK(report.photos_waiting == 1);
        CHECK_FALSE(plant.c.book.photos().has(sha256_hex));
        plant.clock.advance_minutes(std::int64_t{37} * 60);
        report = plant.c.exchange(plant.folder, plant.clock);
        REQUIRE(report.count(State::refused) == 1);
        CHECK(report.findings.front().code == "R11");
        plant.c.exchange(plant.folder, plant.clock); // the complaint goes out
        plant.a.exchange(plant.folder, plant.clock); // read
        plant.a.exchange(plant.folder, plant.clock); // answered, beside the damaged one
        report = plant.c.exchange(plant.folder, plant.clock);
        CHECK(report.photos_in == 1);
        CHECK(report.photos_waiting == 0);
        CHECK(plant.folder.files[path] != good); // never overwritten
    }

    TEST_CASE("one file that cannot be read holds up its machine only")
    {
        Three plant;
        plant.folder.unreadable.insert(plant.folder.with("/dev/" + plant.a.devid() + "/seg/").front());
        const auto report = plant.c.exchange(plant.folder, plant.clock);
        CHECK(report.finished);
        CHECK(report.entries_in == 3);
        CHECK(report.count(State::waiting) == 1);
    }

    TEST_CASE("a head with a byte that is no text is of an unknown form, not badly signed")
    {
        const auto key = engine::MachineKey::generate();
        auto       head =
            share::make_head({"saltmarsh", key.device(), 5, std::string(64, 'a'), engine::Hash{}}, key);
        const std::string devid = share::device_folder(key.device());
        REQUIRE(share::open_head(head.bytes, head.name, devid));
        const std::string label = "head a";
        const auto        at = std::search(head.bytes.begin(), head.bytes.end(), label.begin(), label.end());
        REQUIRE(at != head.bytes.end());
        *(at + 5)         = 0xC4;
        head.name.hash32  = engine::hex(engine::sha256(head.bytes)).substr(0, 32);
        const auto opened = share::open_head(head.bytes, head.name, devid);
        REQUIRE_FALSE(opened);
        CHECK(opened.error().fault == engine::Fault::corrupt);
    }
}
