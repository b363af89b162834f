// A PIN cannot be found by trying: by command and by screen everything goes through the workbench.
#include "engine/book/pin_tries.h"
#include "engine/book/seal.h"
#include "engine/procedure/workbench.h"

#include <nlohmann/json.hpp>

#include <memory>

#include "tests/engine/procedure_bench/bench.h"

using namespace engine;

namespace {

constexpr std::int64_t kMinuteMs = 60'000;

/// A job with a problem reported: a supervisor, 205 or 206, may decide on it.
struct PinDesk {
    support::TempFolder        folder;
    support::FakeClock         clock;
    std::unique_ptr<Book>      book;
    std::unique_ptr<Workbench> bench;

    void open()
    {
        bench.reset();
        book.reset();
        auto opened = Book::open(folder / "pin.book", clock, {});
        REQUIRE(opened.has_value());
        book  = std::make_unique<Book>(*std::move(opened));
        bench = std::make_unique<Workbench>(*book, ::bench::procedure(), clock);
    }

    PinDesk()
    {
        open();
        static const std::string check = *pin_check_of("2050");
        REQUIRE(book->append(draft_of(Person{"112", Role::fitter, {}}, "401")).has_value());
        for (const char* badge : {"205", "206"})
            REQUIRE(book->append(draft_of(Person{badge, Role::supervisor, check}, "401")).has_value());
        for (const auto& [code, unit] : ::bench::demo_units())
            REQUIRE(book->append(draft_of(unit, "401")).has_value());
        REQUIRE(book->append(draft_of(::bench::job_of("SLW-P50-12"), "401")).has_value());
        report();
    }

    void report()
    {
        REQUIRE(bench->carry_out("1", "112", ReportProblem{{"isolate", ""}, "other", false}).has_value());
    }
    std::string decide(const std::string& pin, const std::string& badge = "205")
    {
        const auto kept = bench->carry_out("1", badge, Decide{{"isolate", ""}, true, "other", pin});
        return kept ? "kept" : kept.error().message;
    }
    void wrong(int times)
    {
        for (int i = 0; i < times; ++i)
            decide("0000");
    }
    [[nodiscard]] std::size_t told() const { return book->entries_of_kind(kind::pin_refused).size(); }
};

bool waits(const std::string& message, const std::string& time)
{
    return message.find("is looked at in " + time + ".") != std::string::npos;
}

} // namespace

TEST_SUITE("engine/procedure/pin")
{
    TEST_CASE("four wrong PINs cost nothing, the fifth a minute, and the right one waits too")
    {
        PinDesk desk;
        for (int i = 0; i < 4; ++i)
            CHECK(desk.decide("0000") ==
                  "The decision on isolate is refused: the PIN does not fit badge 205.");
        CHECK(desk.decide("0000") ==
              "The decision on isolate is refused: the PIN does not fit badge 205; it was "
              "wrong 5 times in a row, and the next one is looked at in 1 min.");
        CHECK(desk.decide("2050") ==
              "The PIN of badge 205 was wrong 5 times in a row on this machine; the next "
              "one is looked at in 1 min.");
        desk.clock.advance(kMinuteMs - 1);
        CHECK(waits(desk.decide("2050"), "1 min"));
        desk.clock.advance(1);
        CHECK(desk.decide("2050") == "kept");
    }

    TEST_CASE("every further wrong PIN doubles the wait, up to an hour")
    {
        PinDesk desk;
        desk.wrong(5);
        for (const int minutes : {1, 2, 4, 8, 16, 32, 60, 60}) {
            CHECK(waits(desk.decide("2050"), std::to_string(minutes) + " min"));
            desk.clock.advance(minutes * kMinuteMs);
            desk.wrong(1);
        }
    }

    TEST_CASE("each wrong PIN is an entry with badge and count; one not looked at is none")
    {
        PinDesk desk;
        desk.wrong(5);
        REQUIRE(desk.told() == 5);
        const Entry last = desk.book->entries_of_kind(kind::pin_refused).back();
        CHECK(last.body() == nlohmann::json{{"badge", "205"}, {"count", 5}});
        CHECK(last.said.actor.empty());
        CHECK(last.said.job.empty());
        desk.wrong(1);
        CHECK(desk.told() == 5);
    }

    TEST_CASE(
        "a new start of program or machine forgets no wrong PIN, and setting the clock shortens no wait")
    {
        PinDesk desk;
        desk.wrong(5);
        desk.open();
        CHECK(waits(desk.decide("2050"), "1 min"));
        const auto then = desk.clock.now().wall_ms;
        desk.clock.set_wall(then + 3'600'000);
        CHECK(waits(desk.decide("2050"), "1 min"));
        desk.clock.set_wall(then - 3'600'000);
        desk.clock.reboot("b00t0002");
        CHECK(waits(desk.decide("2050"), "1 min"));
        desk.clock.set_wall(then + kMinuteMs);
        CHECK(desk.decide("2050") == "kept");
    }

    TEST_CASE("the right PIN wipes the count, and another badge has its own")
    {
        PinDesk desk;
        desk.wrong(4);
        CHECK(desk.decide("2050") == "kept");
        desk.report();
        desk.wrong(4);
        CHECK(pin_tries(*desk.book, "205", desk.clock).wrong == 4);
        desk.wrong(1);
        CHECK(waits(desk.decide("2050"), "1 min"));
        CHECK(pin_tries(*desk.book, "206", desk.clock).wrong == 0);
        CHECK(desk.decide("2050", "206") == "kept");
        CHECK(waits(desk.decide("2050"), "1 min"));
    }

    TEST_CASE("an ended job leaves the open list, and one ended by somebody who may not does not")
    {
        PinDesk desk;
        REQUIRE(desk.book->open_jobs() == std::vector<std::string>{"1"});
        Draft draft;
        draft.kind  = kind::job_end;
        draft.job   = "1";
        draft.actor = "112";
        draft.body  = std::make_shared<const nlohmann::json>(nlohmann::json{{"reason", "no time"}});
        REQUIRE(desk.book->append(draft).has_value());
        CHECK(desk.book->open_jobs() == std::vector<std::string>{"1"});
        REQUIRE(desk.bench->carry_out("1", "206", EndJob{"machine is scrapped"}).has_value());
        CHECK(desk.book->open_jobs().empty());
        desk.open();
        CHECK(desk.book->open_jobs().empty());
    }

    TEST_CASE("a retired instrument comes back from the book as it was said, and old entries as in use")
    {
        PinDesk    desk;
        Instrument micrometer{.tag = "M-07", .calibration_due = "2027-03-31"};
        REQUIRE(desk.book->append(draft_of(micrometer, "401")).has_value());
        CHECK_FALSE(draft_of(micrometer, "401").body->contains("retired"));
        CHECK(desk.book->catalogue().instrument("M-07")->retired.empty());
        micrometer.retired = "dropped";
        REQUIRE(desk.book->append(draft_of(micrometer, "401")).has_value());
        desk.open();
        CHECK(desk.book->catalogue().instrument("M-07")->retired == "dropped");
    }
}
