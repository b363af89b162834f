// One identity twice: image cloning, a stale copy brought back, a copied data folder. TRUST row 10.
#include <algorithm>
#include <map>

#include "tests/sync/memory_folder.h"
#include "tests/sync/plant.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;
namespace fs = std::filesystem;

namespace {

void copy_book(const fs::path& from, const fs::path& to)
{
    for (const char* end : {"", "-wal", "-shm", ".key"})
        if (fs::exists(from.string() + end)) fs::copy_file(from.string() + end, to.string() + end);
    fs::copy(from.string() + ".d", to.string() + ".d", fs::copy_options::recursive);
}

Machine opened(const fs::path& file, const Clock& clock)
{
    auto book = Book::open(file, clock);
    REQUIRE_MESSAGE(book, (book ? "" : book.error().message));
    return Machine(*std::move(book));
}

bool says_fork(const share::Report& report)
{
    return std::any_of(report.findings.begin(), report.findings.end(),
                       [](const share::Finding& f) { return f.code == "R08"; });
}

} // namespace

TEST_SUITE("trust row 10: one identity twice")
{
    TEST_CASE("cloned at five moments, met in six orders: both records kept, R08 at once, equal states")
    {
        int cases = 0, lost = 0, unnamed = 0, unequal = 0, signing_on = 0;
        for (int moment = 0; moment < 5; ++moment) {
            std::array<int, 3> order{0, 1, 2};
            do {
                TempFolder   place;
                FakeClock    clock;
                MemoryFolder folder;
                Machine      first(place, clock, 1), reader(place, clock, 2), third(place, clock, 3);
                for (int i = 0; i < moment; ++i) {
                    clock.advance(1000);
                    first.read("2219", i);
                    if (i == 1) first.exchange(folder, clock);
                }
                const std::string device = first.book.device();
                copy_book(first.book.file(), place / "clone.book");
                Machine                  clone = opened(place / "clone.book", clock);
                std::vector<std::string> said;
                for (int i = 0; i < 3; ++i) {
                    clock.advance(1000);
                    said.push_back(first.read("2219", 100 + i));
                    said.push_back(clone.read("2219", 200 + i));
                }
                std::array<Machine*, 3> all{&first, &clone, &reader};
                for (const int at : order)
                    all[static_cast<std::size_t>(at)]->exchange(folder, clock);
                // One exchange after both branches are in the folder, each reader says so.
                const auto seen = reader.exchange(folder, clock);
                third.exchange(folder, clock);
                if (!says_fork(seen)) ++unnamed;
                for (int round = 0; round < 2; ++round)
                    for (Machine* one : {&first, &clone, &reader, &third}) {
                        clock.advance(1000);
                        one->exchange(folder, clock);
                    }
                for (int round = 0; round < 3; ++round)
                    for (Machine* one : {&first, &clone, &reader, &third})
                        one->exchange(folder, clock);
                for (Machine* one : {&first, &clone, &reader, &third})
                    for (const std::string& id : said)
                        if (!one->book.entry(id)) ++lost;
                if (state_hash(reader.book) != state_hash(third.book)) ++unequal;
                if (state_hash(reader.book) != state_hash(first.book)) ++unequal;
                if (state_hash(reader.book) != state_hash(clone.book)) ++unequal;
                if (first.book.device() == device && clone.book.device() == device) ++signing_on;
                ++cases;
            } while (std::next_permutation(order.begin(), order.end()));
        }
        MESSAGE(cases << " clones: lost " << lost << ", unnamed " << unnamed << ", unequal states " << unequal
                      << ", both signing on " << signing_on);
        CHECK(cases == 30);
        CHECK(lost == 0);
        CHECK(unnamed == 0);
        CHECK(unequal == 0);
        CHECK(signing_on == 0);
    }

    TEST_CASE(
        "a stale copy brought back takes its lines from the folder before it signs, or forks and says so")
    {
        int cases = 0, lost = 0, unequal = 0;
        for (int old = 0; old < 5; ++old)
            for (int wrote_before_exchange = 0; wrote_before_exchange < 6; ++wrote_before_exchange) {
                TempFolder               place;
                FakeClock                clock;
                MemoryFolder             folder;
                Machine                  reader(place, clock, 2);
                std::vector<std::string> said;
                {
                    Machine first(place, clock, 1);
                    for (int i = 0; i < 5; ++i) {
                        if (i == old) copy_book(first.book.file(), place / "old.book");
                        clock.advance(1000);
                        said.push_back(first.read("2219", i));
                    }
                    first.exchange(folder, clock);
                    reader.exchange(folder, clock);
                }
                Machine back = opened(place / "old.book", clock);
                for (int i = 0; i < wrote_before_exchange; ++i) {
                    clock.advance(1000);
                    said.push_back(back.read("2219", 300 + i));
                }
                for (int round = 0; round < 4; ++round) {
                    back.exchange(folder, clock);
                    reader.exchange(folder, clock);
                }
                said.push_back(back.read("2219", 999)); // work goes on
                for (int round = 0; round < 3; ++round) {
                    back.exchange(folder, clock);
                    reader.exchange(folder, clock);
                }
                for (const std::string& id : said)
                    if (!back.book.entry(id) || !reader.book.entry(id)) ++lost;
                if (state_hash(back.book) != state_hash(reader.book)) ++unequal;
                CHECK(back.book.forks().empty() == (wrote_before_exchange == 0));
                ++cases;
            }
        MESSAGE(cases << " stale copies: lost " << lost << ", unequal states " << unequal);
        CHECK(cases == 30);
        CHECK(lost == 0);
        CHECK(unequal == 0);
    }

    TEST_CASE("a key is replaced once, the old chain ends in its last word, and all of it goes out")
    {
        TempFolder        place;
        FakeClock         clock;
        MemoryFolder      folder;
        Machine           first(place, clock, 1), reader(place, clock, 2);
        const auto        file = first.book.file();
        const std::string old  = first.book.device();
        first.read("2219", 1);
        first.exchange(folder, clock);
        first.read("2219", 2);
        REQUIRE(first.book.replace_key("test"));
        first.read("2219", 3);
        CHECK(first.book.device() != old);
        for (int round = 0; round < 2; ++round) {
            first.exchange(folder, clock);
            reader.exchange(folder, clock);
        }
        CHECK(reader.book.entries_of_job("2219").size() == 3);
        CHECK(reader.book.entries_of_kind(kind::retire).size() == 1);
        const auto genesis = reader.book.entries_of_machine(first.book.device(), 1, 1);
        REQUIRE(genesis.size() == 1);
        CHECK(genesis.front().body().at("replaces") == old);
        const std::string state = state_hash(first.book);
        {
            const Book gone = std::move(first.book);
        }
        CHECK(check_book(file)->first_break == "");
        {
            auto again = Book::open(file, clock);
            REQUIRE(again);
            CHECK(state_hash(*again) == state);
        }
        for (const char* end : {"", "-wal", "-shm"})
            fs::remove(file.string() + end);
        auto anew = Book::open(file, clock);
        REQUIRE_MESSAGE(anew, (anew ? "" : anew.error().message));
        CHECK(anew->entries_of_job("2219").size() == 3);
        CHECK(anew->retired().size() == 1);
        first.book = *std::move(anew);
    }
}
