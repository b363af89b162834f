// Rows 7 and 8 of the plan: every byte flipped, every length cut, of what lies in a folder and beside a book.
#include "sync/check_shared.h"
#include "sync/head.h"
#include "sync/segment.h"

#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/sync/memory_folder.h"
#include "tests/trust/office.h"
#include "tests/trust/sizes.h"

using namespace engine;
using share::State;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;
using Bytes  = MemoryFolder::Bytes;

namespace {

struct Sixty {
    TempFolder     place;
    FakeClock      clock;
    Machine        machine{place, clock, 1};
    share::Segment segment;
    std::string    devid;

    Sixty()
    {
        for (int i = 0; i < 63; ++i) {
            clock.advance(1000);
            machine.read("2219", i);
        }
        segment = share::cut_segment(machine.book.entries_of_machine(machine.book.device(), 1, 64));
        devid   = machine.devid();
    }
    /// True when altered bytes were let through, under the old name or one that fits them.
    [[nodiscard]] bool accepts(const Bytes& bytes) const
    {
        const auto old    = share::open_segment(bytes, segment.name, devid, "saltmarsh");
        auto       name   = segment.name;
        name.hash32       = hex(sha256(bytes)).substr(0, 32);
        const auto forged = share::open_segment(bytes, name, devid, "saltmarsh");
        return old.state != State::unfinished || forged.state != State::refused || forged.code.empty() ||
               !forged.entries.empty();
    }
};

std::string text_of(const fs::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

} // namespace

TEST_SUITE("trust rows 7 and 8: flips and cuts")
{
    TEST_CASE("a segment of 64 entries with a byte flipped is never taken")
    {
        const Sixty sixty;
        const auto  every = static_cast<std::size_t>(trust::size_of_run(1, 97) == 97 ? 1 : 97);
        int         cases = 0, accepted = 0;
        for (std::size_t at = 0; at < sixty.segment.bytes.size(); at += every)
            for (const unsigned flip : {0x01U, 0x20U, 0x80U, 0x02U, 0x04U, 0x08U, 0x10U, 0x40U, 0xffU}) {
                Bytes bytes = sixty.segment.bytes;
                bytes[at]   = static_cast<unsigned char>(bytes[at] ^ flip);
                accepted += sixty.accepts(bytes) ? 1 : 0;
                cases += 2;
            }
        MESSAGE("row 7, segment: " << cases << " flips, accepted " << accepted);
        CHECK(accepted == 0);
    }

    TEST_CASE("a segment cut at a length, or with something behind it, is never taken")
    {
        const Sixty sixty;
        const auto  every = static_cast<std::size_t>(trust::size_of_run(1, 61) == 61 ? 1 : 61);
        int         cases = 0, accepted = 0;
        for (std::size_t size = 0; size < sixty.segment.bytes.size(); size += every) {
            const Bytes bytes(sixty.segment.bytes.begin(),
                              sixty.segment.bytes.begin() + static_cast<std::ptrdiff_t>(size));
            accepted += sixty.accepts(bytes) ? 1 : 0;
            cases += 2;
        }
        for (const char* junk : {"x", "\n", "{}", "\xff"}) {
            Bytes bytes = sixty.segment.bytes;
            bytes.insert(bytes.end(), junk, junk + 1);
            accepted += sixty.accepts(bytes) ? 1 : 0;
            cases += 2;
        }
        Bytes zeros = sixty.segment.bytes;
        zeros.resize(zeros.size() + 4096, 0);
        accepted += sixty.accepts(zeros) ? 1 : 0;
        MESSAGE("row 8, segment: " << cases + 2 << " cuts and tails, accepted " << accepted);
        CHECK(accepted == 0);
    }

    TEST_CASE("statements and heads with any bit flipped or any byte cut are never taken")
    {
        const Office     office;
        const TempFolder place;
        const FakeClock  clock;
        const Machine    machine(place, clock, 1);
        const auto       first = machine.book.entries_of_machine(machine.book.device(), 1, 1).front();
        std::array<unsigned char, 32> seed{};
        seed.fill(1);
        const auto key  = MachineKey::from_seed(seed);
        const auto head = share::make_head({"saltmarsh", key.device(), 1, first.id, Hash{}}, key);
        const auto old  = share::make_head({"saltmarsh", key.device(), 1, first.id}, key);
        CHECK(share::open_head(head.bytes, head.name, machine.devid()));
        CHECK(share::open_head(old.bytes, old.name, machine.devid()));
        int        cases = 0, accepted = 0;
        const auto opens = [&](const Bytes& bytes) {
            const share::HeadName name{1, hex(sha256(bytes)).substr(0, 32)};
            return share::open_head(bytes, name, machine.devid()).has_value();
        };
        for (const Bytes& whole : {head.bytes, old.bytes})
            for (std::size_t at = 0; at < whole.size(); ++at) {
                for (unsigned bit = 0; bit < 8; ++bit) {
                    Bytes bytes = whole;
                    bytes[at]   = static_cast<unsigned char>(bytes[at] ^ (1U << bit));
                    accepted += opens(bytes) ? 1 : 0;
                    ++cases;
                }
                accepted +=
                    opens(Bytes(whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(at))) ? 1 : 0;
                ++cases;
            }
        const std::string& line = office.lines.front();
        for (std::size_t at = 0; at < line.size(); ++at) {
            for (unsigned bit = 0; bit < 8; ++bit) {
                std::string text = line;
                text[at]         = static_cast<char>(static_cast<unsigned char>(text[at]) ^ (1U << bit));
                accepted += open_statement(text) ? 1 : 0;
                ++cases;
            }
            accepted += open_statement(line.substr(0, at)) ? 1 : 0;
            ++cases;
        }
        MESSAGE("rows 7 and 8, statements and heads: " << cases << " changes, accepted " << accepted);
        CHECK(accepted == 0);
    }

    TEST_CASE("a book file with a byte flipped shows what was signed, or says it is damaged")
    {
        const Sixty       sixty;
        const std::string state = state_hash(sixty.machine.book);
        const fs::path    from  = sixty.place / "live.book";
        {
            Sixty          closed;
            const fs::path file = closed.machine.book.file();
            {
                const Book gone = std::move(closed.machine.book); // the log goes into the file
            }
            fs::copy_file(file, from);
            fs::copy_file(file.string() + ".key", from.string() + ".key");
            auto again          = Book::open(file, closed.clock);
            closed.machine.book = *std::move(again);
        }
        const std::string whole   = text_of(from);
        const int         count   = trust::size_of_run(60, 10000);
        int               damaged = 0, same = 0, wrong = 0;
        for (int i = 0; i < count; ++i) {
            std::string text = whole;
            const auto  at   = static_cast<std::size_t>(i) * (whole.size() / static_cast<std::size_t>(count));
            text[at]         = static_cast<char>(text[at] ^ 0x10);
            for (const char* end : {"", "-wal", "-shm"})
                fs::remove(from.string() + end);
            std::ofstream(from, std::ios::binary) << text;
            const auto report = check_book(from);
            if (!report || !report->whole) {
                ++damaged;
                continue;
            }
            BookOptions reads;
            reads.read_only = true;
            const auto book = Book::open(from, sixty.clock, reads);
            (book && state_hash(*book) == state ? same : wrong) += 1;
        }
        MESSAGE("row 7, book file: " << count << " flips: " << damaged << " found, " << same
                                     << " without effect, wrong content " << wrong);
        CHECK(wrong == 0);
    }

    TEST_CASE("a folder rewritten after it was read is named by who read it")
    {
        TempFolder   place;
        FakeClock    clock;
        MemoryFolder folder;
        Machine      a(place, clock, 1), b(place, clock, 2);
        a.read("2219", 1);
        a.read("2219", 2);
        a.exchange(folder, clock);
        b.exchange(folder, clock);
        a.exchange(folder, clock);
        const auto good = share::check_shared(folder);
        REQUIRE(good);
        CHECK_MESSAGE(good->whole, good->first_break);
        CHECK(good->witnesses >= 2);
        // The owner of machine 1 makes another history with the very same key, and puts it in the place of
        // the old.
        MemoryFolder rewritten = folder;
        for (const auto& path : rewritten.with("/dev/" + a.devid() + "/"))
            rewritten.files.erase(path);
        {
            TempFolder   elsewhere;
            MemoryFolder other;
            Machine      liar(elsewhere, clock, 1);
            liar.read("2219", 7);
            liar.read("2219", 8);
            liar.read("2219", 9);
            liar.exchange(other, clock);
            for (const auto& path : other.with("/dev/" + a.devid() + "/"))
                rewritten.files[path] = other.files[path];
        }
        const auto bad = share::check_shared(rewritten);
        REQUIRE(bad);
        CHECK_FALSE(bad->whole);
        CHECK(bad->first_break.find("T-02 has read") != std::string::npos);
        CHECK(bad->list.front().code == "R08");
        // And one whose newest lines were taken away.
        MemoryFolder shorter = folder;
        for (const auto& path : shorter.with("/dev/" + a.devid() + "/"))
            shorter.files.erase(path);
        const auto cut = share::check_shared(shorter);
        REQUIRE(cut);
        CHECK(cut->first_break.find("T-02 has read") != std::string::npos);
    }
}
