// Other machines' entries: FORMAT.md section 3.
#include "engine/book/book.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "tests/engine/book/drafts.h"
#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"

using namespace engine;
using support::FakeClock;
using support::TempFolder;

namespace {

BookOptions machine(const std::string& name, unsigned char seed)
{
    BookOptions options;
    options.machine_name = name;
    options.seed         = std::array<unsigned char, 32>{seed};
    return options;
}

struct Two {
    TempFolder folder;
    FakeClock  clock_a, clock_b;
    Book       a, b;

    Two()
        : a(*Book::open(folder / "a.book", clock_a, machine("T-03", 3))),
          b(*Book::open(folder / "b.book", clock_b, machine("T-04", 4)))
    {
    }

    [[nodiscard]] std::vector<Entry> all_of(const Book& book) const
    {
        return book.entries_of_machine(book.device(), 1, 1000);
    }
};

} // namespace

TEST_SUITE("engine/book chain")
{
    TEST_CASE("entries of another machine are taken in once")
    {
        Two two;
        REQUIRE(two.a.append(reading("2219", "A", "seat", 1)));
        CHECK(*two.b.take_in(two.all_of(two.a)) == 2);
        CHECK(*two.b.take_in(two.all_of(two.a)) == 0);
        CHECK(two.b.entries_of_job("2219").size() == 1);
        const auto machines = two.b.machines();
        REQUIRE(machines.size() == 2);
        CHECK(machines[0].self);
        CHECK(machines[1].name == "T-03");
        CHECK(machines[1].last_seq == 2);
    }

    TEST_CASE("two machines that know the same entries have the same state")
    {
        Two two;
        for (int i = 0; i < 10; ++i) {
            two.clock_a.advance(700);
            two.clock_b.advance(300);
            REQUIRE(two.a.append(reading("2219", "A", "seat", i)));
            REQUIRE(two.b.append(reading("2219", "B", "seat", i)));
        }
        CHECK(state_hash(two.a) != state_hash(two.b));
        const auto from_a = two.all_of(two.a);
        REQUIRE(two.a.take_in(two.all_of(two.b)));
        REQUIRE(two.b.take_in(from_a));
        CHECK(state_hash(two.a) == state_hash(two.b));
        const auto in_a = two.a.entries_of_job("2219");
        const auto in_b = two.b.entries_of_job("2219");
        REQUIRE(in_a.size() == 20);
        for (std::size_t i = 0; i < in_a.size(); ++i)
            CHECK(in_a[i].id == in_b[i].id);
    }

    TEST_CASE("a gap is refused, and nothing of the parcel is taken")
    {
        Two two;
        for (int i = 0; i < 4; ++i)
            REQUIRE(two.a.append(reading("2219", "A", "seat", i)));
        auto parcel = two.all_of(two.a);
        parcel.erase(parcel.begin() + 2);
        const auto taken = two.b.take_in(parcel);
        REQUIRE_FALSE(taken);
        CHECK(taken.error().fault == Fault::corrupt);
        CHECK(taken.error().message == "Entries 3 to 3 of T-03 are missing before machine T-03, entry 4; "
                                       "they come with a later exchange.");
        CHECK(two.b.size() == 1);
        CHECK(two.b.machines().size() == 1);
    }

    TEST_CASE("one identity used twice is found and named, and both records are kept")
    {
        Two              two;
        const TempFolder other;
        auto             clone = Book::open(other / "a.book", two.clock_a, machine("T-03", 3));
        REQUIRE(clone);
        REQUIRE(clone->device() == two.a.device());
        REQUIRE(two.a.append(reading("2219", "A", "seat", 1)));
        REQUIRE(clone->append(reading("2219", "A", "seat", 2)));
        REQUIRE(two.b.take_in(two.all_of(two.a)));
        const auto taken = two.b.take_in(two.all_of(*clone));
        REQUIRE(taken);
        CHECK(*taken == 1);
        REQUIRE(two.b.forks().size() == 1);
        CHECK(two.b.forks().front().name == "T-03");
        CHECK(two.b.forks().front().seq == 2);
        CHECK(two.b.entries_of_job("2219").size() == 2);
        CHECK(check_book(two.b.file())->first_break == "");
    }

    TEST_CASE("an entry of another plant is refused")
    {
        Two              two;
        const TempFolder other;
        auto             options = machine("T-09", 9);
        options.plant            = "elsewhere";
        auto far                 = Book::open(other / "far.book", two.clock_a, options);
        REQUIRE(far);
        const auto taken = two.b.take_in(two.all_of(*far));
        REQUIRE_FALSE(taken);
        CHECK(taken.error().fault == Fault::bad_input);
    }

    TEST_CASE("an entry whose line is not the one it was made from is refused")
    {
        Two  two;
        auto parcel                = two.all_of(two.a);
        parcel.front().line.back() = ']';
        CHECK(two.b.take_in(parcel).error().fault == Fault::corrupt);
    }

    TEST_CASE("an answer comes after what it answers though its clock is an hour behind")
    {
        Two two;
        two.clock_a.advance_minutes(60);
        const auto asked = two.a.append(reading("2219", "A", "seat", 1));
        REQUIRE(asked);
        REQUIRE(
            two.b.take_in(two.all_of(two.a))); // ahead by more than 15 min: kept, but does not push the clock
        // What it says may look like the field that names what it answers.
        Draft answer    = draft(kind::decision, {{"accept", true},
                                                 {"prev", std::string(64, '0')},
                                                 {"refs", {std::string(64, '1')}},
                                                 {"reason", "\"prev\":\"" + std::string(64, '2') + "\""}});
        answer.job      = "2219";
        answer.step     = "\"prev\":\"";
        answer.refs     = {asked->id};
        const auto kept = two.b.append(answer);
        REQUIRE(kept);
        CHECK(two.b.entry(kept->id)->hlc_ms < two.a.entry(asked->id)->hlc_ms);
        const auto shown = two.b.entries_of_job("2219");
        REQUIRE(shown.size() == 2);
        CHECK(shown[0].id == asked->id);
        CHECK(shown[1].id == kept->id);
        CHECK(two.b.lines_of_job("2219") == std::vector{shown[0].line, shown[1].line});
    }

    TEST_CASE("a received clock within 15 minutes pushes the own one on")
    {
        Two two;
        two.clock_a.advance_minutes(10);
        REQUIRE(two.a.append(reading("2219", "A", "seat", 1)));
        REQUIRE(two.b.take_in(two.all_of(two.a)));
        const auto kept = two.b.append(reading("2219", "B", "seat", 1));
        REQUIRE(kept);
        const auto entry = two.b.entry(kept->id);
        CHECK(entry->hlc_ms == FakeClock::kStart + 600'000);
        CHECK(entry->hlc_c == 1);
        CHECK(entry->wall_ms == FakeClock::kStart);
    }

    TEST_CASE("a clock that was set back or jumped is written down first")
    {
        Two two;
        two.clock_a.advance(1000);
        REQUIRE(two.a.append(reading("2219", "A", "seat", 1)));
        CHECK(two.a.entries_of_kind(kind::clock_step).empty());
        two.clock_a.set_wall(FakeClock::kStart - 5000);
        const auto kept = two.a.append(reading("2219", "A", "seat", 2));
        REQUIRE(kept);
        const auto steps = two.a.entries_of_kind(kind::clock_step);
        REQUIRE(steps.size() == 1);
        CHECK(steps.front().body().at("step_ms") == -6000);
        CHECK(steps.front().seq + 1 == kept->seq);
        const auto shown = two.a.entries_of_job("2219");
        CHECK(shown.back().id == kept->id); // in order all the same
        two.clock_a.set_wall(0);
        const auto early = two.a.append(reading("2219", "A", "seat", 3));
        REQUIRE(early);
        CHECK(two.a.entry(early->id)->tq == "unset");
    }

    TEST_CASE("the three states of an entry follow the marks and the witnesses")
    {
        Two        two;
        const auto kept = two.a.append(reading("2219", "A", "seat", 1));
        REQUIRE(kept);
        const auto entry = two.a.entry(kept->id);
        CHECK(two.a.reach(*entry) == Reach::on_this_machine);
        CHECK(two.a.read_back_seq() < entry->seq);
        const auto own = two.a.own_briefs(entry->seq);
        REQUIRE(own.size() == 1);
        CHECK((own.front().job == "2219" && !own.front().photo && own.front().wall_ms == entry->wall_ms));
        CHECK(two.a.mark_published(99).error().fault == Fault::out_of_range);
        REQUIRE(two.a.mark_published(kept->seq));
        REQUIRE(two.a.mark_published(1)); // marks only rise
        CHECK(two.a.published_seq() == kept->seq);
        CHECK(two.a.reach(*entry) == Reach::in_folder);
        REQUIRE(two.a.append(draft(kind::witness, {{"dev", two.a.device()}, {"seq", 9}})));
        CHECK(two.a.reach(*entry) == Reach::in_folder); // nobody is a witness of himself
        REQUIRE(two.b.take_in(two.all_of(two.a)));
        REQUIRE(two.b.append(draft(kind::witness, {{"dev", two.a.device()}, {"seq", kept->seq}})));
        REQUIRE(two.a.take_in(two.all_of(two.b)));
        CHECK(two.a.reach(*entry) == Reach::read_back);
        CHECK(two.a.read_back_seq() >= entry->seq);
    }

    TEST_CASE("files that were seen are remembered over a restart")
    {
        const TempFolder folder;
        const FakeClock  clock;
        {
            auto book = Book::open(folder / "t.book", clock);
            REQUIRE(book);
            CHECK_FALSE(book->seen_file("0000000001-0000000009-ab.jsonl"));
            REQUIRE(book->mark_seen("0000000001-0000000009-ab.jsonl"));
        }
        auto book = Book::open(folder / "t.book", clock);
        REQUIRE(book);
        CHECK(book->seen_file("0000000001-0000000009-ab.jsonl"));
    }

    TEST_CASE("own entries come back from others after the book was made anew from shorter text")
    {
        Two two;
        for (int i = 0; i < 3; ++i)
            REQUIRE(two.a.append(reading("2219", "A", "seat", i)));
        const auto       all = two.all_of(two.a);
        const TempFolder other;
        auto             young = Book::open(other / "a.book", two.clock_a, machine("T-03", 3));
        REQUIRE(young);
        REQUIRE(young->entries_of_machine(young->device(), 1, 1).front().id == all.front().id);
        CHECK(*young->take_in(all) == 3);
        const auto next = young->append(reading("2219", "A", "seat", 9));
        REQUIRE(next);
        CHECK(next->seq == 5);
        CHECK(young->entry(next->id)->prev == all.back().id);
    }
}
