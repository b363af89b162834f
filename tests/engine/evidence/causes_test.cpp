// One cause in one line, what waits before what is signed, and what the life line says of corrections and
// tools.
#include "engine/evidence/causes.h"
#include "engine/evidence/trace_query.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "tests/engine/evidence/told_job.h"

using namespace engine;
using support::ToldJob;

namespace {

Job one_block(const std::string& number)
{
    Job job    = support::job_of({{"BLOCK"}});
    job.number = number;
    return job;
}

/// A nut turned too far, released and worked on to the end: the sheet of the invented plant says 90 to 135
/// degrees.
void turn_too_far(ToldJob& told)
{
    told.work_up_to({"turn", "A"});
    told.reads({"turn", "A"}, "turn", "", "150");
    told.give({"turn", "A"});
}

void release(ToldJob& told, const StepRef& at)
{
    told.does(Decide{at, true, "within_experience", ToldJob::kPin}, ToldJob::kSupervisor);
    told.does(CloseStep{at});
}

std::vector<Cause> causes_in(ToldJob& told)
{
    return causes_of(exceptions_of(told.bench(), *told.state()));
}

} // namespace

TEST_SUITE("engine/evidence/causes")
{
    TEST_CASE("one over-turned nut is one cause: the reading leads, figure, step and decision stand with it")
    {
        ToldJob told(one_block("1"));
        turn_too_far(told);
        REQUIRE(exceptions_of(told.bench(), *told.state()).size() > 1);
        auto causes = causes_in(told);
        REQUIRE(causes.size() == 1);
        CHECK(causes[0].finding == Finding::held);
        REQUIRE(causes[0].lead.value);
        CHECK(causes[0].lead.value->text == "150");
        CHECK_FALSE(causes[0].decision);

        release(told, {"turn", "A"});
        told.reads({"lock", "A"}, "extra", "", "0"); // a tang stood over a slot
        told.give({"lock", "A"});
        release(told, {"lock", "A"});
        causes = causes_in(told);
        REQUIRE(causes.size() == 1);
        CHECK(causes[0].finding == Finding::outside);
        CHECK(causes[0].lead.value->text == "150");
        REQUIRE(causes[0].decision);
        CHECK(causes[0].decision->what == "within_experience");
        CHECK(causes[0].decision->by.actor == ToldJob::kSupervisor);
        REQUIRE(causes[0].carried_to.size() == 1);
        CHECK(causes[0].carried_to[0].key == "lock");
    }

    TEST_CASE("two causes stay two, at one position as well")
    {
        ToldJob told(one_block("1"));
        told.work_up_to({"seat", "A"});
        told.give({"seat", "A"}, "diameter");
        for (const auto& [name, slot] : std::vector(told.step({"seat", "A"}).missing))
            told.reads({"seat", "A"}, name, slot, "49.900");
        release(told, {"seat", "A"});
        told.work_up_to({"turn", "A"});
        told.reads({"turn", "A"}, "turn", "", "150");
        told.give({"turn", "A"});
        const auto causes = causes_in(told);
        REQUIRE(causes.size() == 2);
        CHECK(causes[0].finding == Finding::held);
        CHECK(causes[0].lead.at.key == "turn");
        CHECK(causes[1].lead.at.key == "seat");
        CHECK(causes[1].also.size() >= 3); // the other diameters
    }

    TEST_CASE("what waits for a decision comes before what is countersigned, however bad that was")
    {
        ToldJob told(one_block("1"));
        turn_too_far(told);
        release(told, {"turn", "A"});
        told.reads({"lock", "A"}, "extra", "", "0"); // a tang stood over a slot
        told.give({"lock", "A"});
        release(told, {"lock", "A"});
        told.work_to_the_end();
        told.does(Countersign{ToldJob::kPin}, ToldJob::kSupervisor);
        told.plan(one_block("2"));
        told.work_to_the_end(); // clean, and nobody has signed it
        told.plan(one_block("3"));
        told.finish({"isolate", ""}); // in work
        const auto shift = shift_of(told.bench(), {});
        REQUIRE(shift.size() == 3);
        CHECK(shift[0].job.number == "2");
        CHECK(shift[1].job.number == "3");
        CHECK(shift[2].job.number == "1");
    }
}

TEST_SUITE("engine/evidence/trace")
{
    TEST_CASE("a correction says which reading it strikes, and the reading that it is struck")
    {
        ToldJob told(one_block("1"));
        told.work_up_to({"seat", "A"});
        told.give({"seat", "A"});
        const auto        state = told.state();
        const ReadingFact first = *state->progress.step({"seat", "A"})->facts.reading("diameter", "I.across");
        told.does(Correct{first.at.id, support::value("49.965", UnitOf::mm), "misread"}, "F-12");
        told.does(Correct{first.at.id, support::value("49.967", UnitOf::mm), "misread"}, "F-12");
        const auto line = life_line(told.bench(), {TraceKey::By::job, "1"});
        REQUIRE(line);
        std::vector<const LifeEvent*> corrections;
        const LifeEvent*              reading = nullptr;
        for (const LifeEvent& event : line->parts.front().events) {
            if (event.entry.said.kind == kind::correction) corrections.push_back(&event);
            if (event.entry.id == first.at.id) reading = &event;
        }
        REQUIRE(corrections.size() == 2);
        REQUIRE(corrections[0]->struck);
        CHECK(corrections[0]->struck->text == first.value.text);
        CHECK(corrections[0]->what == "correction diameter/I.across");
        CHECK(corrections[1]->struck->text == "49.965");
        REQUIRE(reading != nullptr);
        REQUIRE(reading->struck);
        CHECK(reading->struck->text == "49.967");
        CHECK(reading->struck->by.actor == "F-12");
    }

    TEST_CASE("a reading is told with its instrument as it stood then, out of calibration included")
    {
        ToldJob told(one_block("1"));
        told.work_up_to({"seat", "A"});
        told.give({"seat", "A"});
        Instrument again      = *told.book().catalogue().instrument("M-07");
        again.calibration_due = "2020-01-01"; // written later: what was read before stays as it was
        told.clock().advance_minutes(1);
        REQUIRE(told.book().append(draft_of(again, "P-31")));
        const auto line = life_line(told.bench(), {TraceKey::By::job, "1"});
        REQUIRE(line);
        const auto& events = line->parts.front().events;
        const auto  read   = std::ranges::find_if(
               events, [](const LifeEvent& event) { return event.what == "reading diameter/I.across"; });
        REQUIRE(read != events.end());
        REQUIRE(read->tool);
        CHECK(read->tool->tag == "M-07");
        CHECK(read->tool->calibration_due == "2027-03-31");
        CHECK_FALSE(read->out_of_calibration);
    }

    TEST_CASE("names are found in any case and with blanks about them, and the record's spelling is told")
    {
        ToldJob told(one_block("1"));
        told.work_up_to({"seat", "A"});
        told.work_to_the_end();
        for (const char* const asked : {"sn-a1", " SN-A1 ", "Sn-A1\t"}) {
            const auto line = life_line(told.bench(), {TraceKey::By::serial, asked});
            REQUIRE(line);
            CHECK(line->found_as == "SN-A1");
        }
        const auto exact = life_line(told.bench(), {TraceKey::By::serial, "SN-A1"});
        REQUIRE(exact);
        CHECK(exact->found_as.empty());
        CHECK(life_line(told.bench(), {TraceKey::By::asset, "tl-01"}));
        CHECK_FALSE(life_line(told.bench(), {TraceKey::By::serial, "  "}));
    }

    TEST_CASE("the opening of a job says title, machine and positions")
    {
        ToldJob told(one_block("1"));
        told.finish({"isolate", ""});
        const auto line = life_line(told.bench(), {TraceKey::By::job, "1"});
        REQUIRE(line);
        const LifeEvent& opening = line->parts.front().events.front();
        CHECK(opening.entry.said.kind == kind::job_open);
        CHECK(opening.text == "Test line, machine TL-01, A BLOCK fixed");
    }
}
