// What the entries of a job come to: attempts, corrections, decisions, reviews, and entries out of place.
#include <doctest/doctest.h>

#include <random>

#include "tests/support/job_entries.h"

using namespace engine;
using support::job_of;
using support::JobScript;
using support::value;

namespace {

constexpr auto kLooseBolts = Hold::expansion;
constexpr auto kPin        = JobScript::kPin;

bool counts(const StepStatus& status)
{
    return status.state == StepState::done || status.state == StepState::skipped;
}

/// No step is done while something it needs is not. A nut loosened later leaves the other positions as they
/// are.
std::string unsound(const JobScript& job)
{
    for (const PlanStep& planned : job.plan().steps) {
        if (!counts(*job.progress().step(planned.ref))) continue;
        for (const StepRef& need : planned.needs) {
            const bool elsewhere =
                !need.pos.empty() && !planned.ref.pos.empty() && need.pos != planned.ref.pos;
            if (elsewhere && !job.progress().position(need.pos)->past.empty()) continue;
            if (!counts(*job.progress().step(need)))
                return planned.ref.key + planned.ref.pos + " before " + need.key + need.pos;
        }
    }
    return {};
}

} // namespace

TEST_SUITE("engine/procedure/progress")
{
    TEST_CASE("next leads through a whole job on every kind of line, to its close")
    {
        for (const Job& line :
             {job_of({{"BLOCK"}}), job_of({{"FLANGE"}}), job_of({{"FULL", kLooseBolts}, {"BLOCK"}}),
              job_of({{"BLOCK"}, {"BLOCK"}}), job_of({{"FLANGE"}, {"FLANGE"}}),
              job_of({{"FULL", kLooseBolts}, {"BLOCK"}, {"FULL", kLooseBolts}})}) {
            JobScript job(line);
            CHECK_FALSE(job.progress().started);
            job.work_up_to({"follow_up", ""});
            CHECK(job.progress().closed);
            CHECK(job.progress().last_done == StepRef{"close", ""});
            job.finish({"follow_up", ""});
            CHECK_FALSE(job.progress().next);
            CHECK(job.progress().complaints.empty());
            CHECK(job.progress().done_count() == job.plan().steps.size());
            CHECK(job.progress().position("A")->locked);
            CHECK(job.progress().position("A")->serial == "SN-A1");
        }
    }

    TEST_CASE("a loosened nut takes its position back to zero and keeps the old attempt")
    {
        JobScript job(job_of({{"BLOCK"}, {"FULL", kLooseBolts}}));
        job.work_up_to({"bolt_down", "B"}); // both locked, aligned, A bolted down
        REQUIRE(job.act(BackOff{"A", "zero_doubtful"}));
        const Progress& now = job.progress();
        CHECK(now.complaints.empty());
        for (const char* const key : {"zero", "mark", "turn", "lock", "bolt_down"})
            CHECK_FALSE_MESSAGE(counts(job.step(key, "A")), key);
        CHECK_FALSE(counts(job.step("align")));
        CHECK_FALSE(counts(job.step("soft_foot", "B"))); // by way of align
        for (const char* const key : {"zero", "lock", "centre"})
            CHECK_MESSAGE(counts(job.step(key, "B")), key); // one nut does not undo the other
        for (const char* const key : {"seat", "slide_on", "bolt_loose"})
            CHECK_MESSAGE(counts(job.step(key, "A")), key);
        CHECK(now.next == StepRef{"zero", "A"});

        const PositionStatus& place = *now.position("A");
        CHECK(place.attempt == 2);
        CHECK_FALSE(place.turned);
        CHECK_FALSE(place.locked);
        REQUIRE(place.past.size() == 1);
        CHECK(place.past[0].reason == "zero_doubtful");
        const auto& old  = place.past[0].steps;
        const auto  turn = std::ranges::find(old, StepRef{"turn", "A"}, &StepFacts::ref);
        REQUIRE(turn != old.end());
        CHECK(turn->reading("turn")->value.text == "110");
        CHECK(std::ranges::count(old, StepRef{"align", ""}, &StepFacts::ref) == 1);

        job.work_up_to({"follow_up", ""}); // and the whole way again
        CHECK(job.progress().closed);
        CHECK(job.progress().complaints.empty());
    }

    TEST_CASE("the second flange goes back on its shims when its nut is loosened")
    {
        JobScript job(job_of({{"FLANGE"}, {"FLANGE"}}));
        job.work_up_to({"turn", "B"});
        REQUIRE(job.act(BackOff{"B", "overturned"}));
        CHECK(job.progress().next == StepRef{"shims", "B"});
        CHECK(counts(job.step("lock", "A")));
        CHECK(counts(job.step("bolt_hard", "A")));
    }

    TEST_CASE("a nut that was never at zero cannot be loosened, nor one of an attempt that is over")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.work_up_to({"zero", "A"});
        const Status early = job.may(BackOff{"A", "overturned"});
        REQUIRE_FALSE(early);
        CHECK(early.error().message.find("not been brought to zero") != std::string::npos);
        job.force(BackOff{"A", "overturned"});
        CHECK(job.progress().complaints.size() == 1);
        CHECK(job.progress().position("A")->attempt == 1);

        job.work_up_to({"turn", "A"});
        const TakeReading turn{{"turn", "A"}, "turn", "", value("110", UnitOf::deg), "", {}, "typed"};
        REQUIRE(job.act(BackOff{"A", "overturned"}));
        job.finish({"zero", "A"});
        job.finish({"mark", "A"});
        Draft late =
            draft_of(About{"7001", "F-11", {"turn", "A"}, 1},
                     ReadingFact{{}, "turn", "", turn.value, {}, 0, {}, "", "typed", Verdict::inside, {}});
        job.keep(late);
        CHECK(job.progress().complaints.size() == 2);
        CHECK(job.progress().complaints.back().find("another attempt") != std::string::npos);
        CHECK_FALSE(job.progress().position("A")->turned);
    }

    TEST_CASE("a corrected value that no longer holds opens the closed step again and stops what follows")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.work_up_to({"turn", "A"});
        const std::string id = job.step("seat", "A").facts.readings.front().at.id;
        REQUIRE(job.act(Correct{id, value("49.900", UnitOf::mm), "misread"}));
        CHECK(job.step("seat", "A").state == StepState::held);
        CHECK(counts(job.step("zero", "A"))); // what was done was done
        CHECK(job.step("turn", "A").state == StepState::waiting);
        CHECK(job.step("turn", "A").waits_for == std::vector<StepRef>{{"seat", "A"}});
        CHECK(job.progress().next == StepRef{"seat", "A"});
        REQUIRE(job.act(Decide{{"seat", "A"}, true, "within_experience", kPin}, "S-21"));
        REQUIRE(job.act(CloseStep{{"seat", "A"}}));
        CHECK(job.step("seat", "A").deviation);
        CHECK(job.progress().next == StepRef{"turn", "A"});
    }

    TEST_CASE("a decision speaks of what its person saw: a later change undoes it")
    {
        JobScript     job(job_of({{"BLOCK"}}));
        const StepRef at{"seat", "A"};
        job.work_up_to(at);
        REQUIRE(job.act(
            TakeReading{at, "diameter", "I.across", value("49.900", UnitOf::mm), "M-07", 20000, "typed"}));
        job.give_all(at);
        const auto seen = ids_of(job.step("seat", "A").facts);
        REQUIRE(job.act(Decide{at, true, "within_experience", kPin}, "S-21"));
        CHECK(job.step("seat", "A").state == StepState::open);
        REQUIRE(job.act(
            TakeReading{at, "diameter", "I.across", value("49.890", UnitOf::mm), "M-07", 20000, "typed"}));
        CHECK(job.step("seat", "A").state == StepState::held);
        CHECK(job.step("seat", "A").facts.decisions.empty());
        // A decision made elsewhere on the older readings, arriving late.
        job.keep(draft_of(About{"7001", "S-22", at, 1}, DecisionFact{{}, true, "other"}, seen));
        CHECK(job.step("seat", "A").state == StepState::held);
        CHECK(job.progress().complaints.back().find("had changed since") != std::string::npos);
    }

    TEST_CASE("a no stands until something is measured anew")
    {
        JobScript     job(job_of({{"BLOCK"}}));
        const StepRef at{"seat", "A"};
        job.work_up_to(at);
        const auto diameter = [&](const char* text) {
            return TakeReading{at, "diameter", "I.across", value(text, UnitOf::mm), "M-07", 20000, "typed"};
        };
        REQUIRE(job.act(diameter("49.900")));
        job.give_all(at);
        REQUIRE(job.act(Decide{at, false, "measure_again", kPin}, "S-21"));
        CHECK(job.step("seat", "A").state == StepState::held);
        CHECK_FALSE(job.may(Decide{at, true, "other", kPin}, "S-22"));
        CHECK_FALSE(job.may(CloseStep{at}));
        CHECK_FALSE(job.may(ReportProblem{at, "out_of_limits", false}));
        job.force(Decide{at, true, "other", kPin}, "S-22");
        CHECK(job.step("seat", "A").state == StepState::held);
        REQUIRE(job.act(diameter("49.905")));
        CHECK(job.may(Decide{at, true, "other", kPin}, "S-22"));
    }

    TEST_CASE("a step is skipped by reason and decision, where it may be")
    {
        Job line             = job_of({{"BLOCK"}});
        line.old_bearing_out = true;
        JobScript     job(line);
        const StepRef old{"old_out", "A"};
        job.work_up_to(old);
        REQUIRE(job.act(ReportProblem{old, "cannot_reach", true}));
        CHECK(job.step("old_out", "A").state == StepState::held);
        CHECK(job.step("clean", "A").state == StepState::waiting);
        REQUIRE(job.act(Decide{old, true, "other", kPin}, "S-21"));
        CHECK(job.step("old_out", "A").state == StepState::skipped);
        CHECK(job.step("clean", "A").state == StepState::open);
        CHECK_FALSE(job.may(GiveCode{old, "serial", "SN-9", "scan"}));
        CHECK_FALSE(job.may(ReportProblem{{"clean", "A"}, "cannot_reach", true}));
        job.force(ReportProblem{{"clean", "A"}, "cannot_reach", true});
        CHECK(job.progress().complaints.size() == 1);
    }

    TEST_CASE("an answer that does not go on holds the step until another answer")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.work_up_to({"zero", "A"});
        REQUIRE(job.act(Choose{{"zero", "A"}, "grips", "no"}));
        job.give_all({"zero", "A"});
        CHECK(job.step("zero", "A").state == StepState::held);
        CHECK_FALSE(job.may(CloseStep{{"zero", "A"}}));
        REQUIRE(job.act(Choose{{"zero", "A"}, "grips", "yes"}));
        CHECK(job.act(CloseStep{{"zero", "A"}}));
    }

    TEST_CASE("a review covers what stood before it, and grows old when something comes after")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.work_up_to({"follow_up", ""});
        REQUIRE(job.act(Countersign{kPin}, "S-21"));
        REQUIRE(job.progress().review);
        CHECK(job.progress().review->countersigned);
        CHECK(job.progress().review->covered == job.entries().size() - 1);
        CHECK_FALSE(job.progress().review->older_than_record);
        REQUIRE(job.act(Choose{{"follow_up", ""}, "bolts", "tight"}));
        CHECK(job.progress().review->older_than_record);

        // An older entry of another tablet arrives: the root no longer fits.
        auto entries = job.entries();
        entries.pop_back();
        Entry late = entries.front();
        late.id    = hex(sha256("late"));
        entries.insert(entries.begin() + 1, late);
        const Progress grown = progress_of(job.plan(), support::plant(), entries);
        REQUIRE(grown.review);
        CHECK(grown.review->older_than_record);

        REQUIRE(job.act(SendBack{"photo_unclear", kPin}, "S-22"));
        CHECK_FALSE(job.progress().review->countersigned);
        CHECK(job.progress().review->reason == "photo_unclear");
    }

    TEST_CASE("who works on it now is who last did something, or whom it was handed to")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.finish({"isolate", ""});
        CHECK(job.progress().fitter == "F-11");
        REQUIRE(job.act(HandOver{"F-12"}));
        CHECK(job.progress().fitter == "F-12");
        CHECK(job.progress().people == std::vector<std::string>{"F-11"});
        job.force(HandOver{"X-99"}, "F-12");
        CHECK(job.progress().complaints.size() == 1);
    }

    TEST_CASE("entries that cannot be read or are out of place are told and do not count")
    {
        JobScript  job(job_of({{"BLOCK"}}));
        const auto complaint = [&](const Draft& said) {
            const std::size_t before = job.progress().complaints.size();
            job.keep(said);
            return job.progress().complaints.size() == before + 1 ? job.progress().complaints.back()
                                                                  : std::string("no complaint");
        };
        Draft said{"F-11", kind::code, "7001", "", "isolate", {}, {}};
        CHECK(complaint(said).find("it has no body") != std::string::npos);
        said = draft_of(About{"7001", "F-11", {"dust", "A"}, 1}, CodeFact{{}, "serial", "1", "scan"});
        CHECK(complaint(said).find("no such step") != std::string::npos);
        said = draft_of(About{"7001", "F-11", {"isolate", ""}, 1}, CodeFact{{}, "serial", "1", "scan"});
        CHECK(complaint(said).find("does not ask for 'serial'") != std::string::npos);
        said.kind = "gossip";
        CHECK(complaint(said).find("does not know the kind 'gossip'") != std::string::npos);
        said = draft_of(About{"7001", "F-11", {"isolate", ""}, 1}, CorrectionFact{"nobody", {}, "misread"});
        CHECK(complaint(said).find("does not count") != std::string::npos);
        CHECK_FALSE(job.progress().started);
    }

    TEST_CASE("the same entries give the same progress")
    {
        JobScript job(job_of({{"BLOCK"}, {"FULL", kLooseBolts}}));
        job.work_up_to({"align", ""});
        const Progress once = progress_of(job.plan(), job.catalogue(), job.entries());
        CHECK(once.next == job.progress().next);
        for (std::size_t at = 0; at < once.steps.size(); ++at) {
            CHECK(once.steps[at].state == job.progress().steps[at].state);
            CHECK(ids_of(once.steps[at].facts) == ids_of(job.progress().steps[at].facts));
        }
    }

    TEST_CASE("no run of allowed acts, in whatever order, gets a step done before what it needs")
    {
        for (const unsigned seed : {1U, 2U, 3U, 4U}) {
            CAPTURE(seed);
            std::mt19937 dice(seed);
            const auto   below = [&](std::size_t count) { return dice() % count; };
            JobScript    job(seed % 2 == 0 ? job_of({{"FULL", kLooseBolts}, {"BLOCK"}})
                                           : job_of({{"FLANGE"}, {"FLANGE"}}));
            std::size_t  kept = 0;
            for (int tries = 0; tries < 450; ++tries) {
                // Mostly where work is possible, now and then anywhere.
                std::vector<StepRef> places;
                for (const StepStatus& status : job.progress().steps)
                    if (status.state == StepState::open || status.state == StepState::held)
                        places.push_back(status.ref);
                if (places.empty()) break;
                const bool      anywhere = below(4) == 0;
                const PlanStep& planned  = anywhere ? job.plan().steps[below(job.plan().steps.size())]
                                                    : *job.plan().find(places[below(places.size())]);
                const StepRef   at       = planned.ref;
                const Ask&      ask      = planned.step.asks[below(planned.step.asks.size())];
                Act             act      = CloseStep{at};
                const auto      roll     = below(100);
                if (roll == 0)
                    act = BackOff{"A", "overturned"};
                else if (roll == 1)
                    act = ReportProblem{at, "other", below(2) == 0};
                else if (roll < 4)
                    act = Decide{at, below(4) > 0, "other", kPin};
                else if (roll < 70 && !ask.slots.empty())
                    act = job.good_answer(at, ask, ask.slots[below(ask.slots.size())]);
                const bool decides = std::holds_alternative<Decide>(act);
                if (job.act(act, decides ? "S-21" : "F-11")) ++kept;
                REQUIRE(unsound(job) == "");
            }
            CHECK(kept > 100);
            CHECK(job.progress().complaints.empty()); // what the rules allow, the record takes
        }
    }
}
