// What comes to an end: an instrument that is retired, a job that is not gone on with; and who may sign for
// what others gave.
#include <doctest/doctest.h>

#include <algorithm>

#include "tests/support/job_entries.h"

using namespace engine;
using support::job_of;
using support::JobScript;
using support::value;

namespace {

constexpr const char* kEndPin = JobScript::kPin;

std::string told_by(const Status& status)
{
    return status ? std::string("allowed") : status.error().message;
}

bool complains(const JobScript& job, const std::string& words)
{
    return std::ranges::any_of(job.progress().complaints,
                               [&](const std::string& one) { return one.find(words) != std::string::npos; });
}

JobScript finished_job()
{
    JobScript job(job_of({{"BLOCK"}}));
    job.work_up_to({"follow_up", ""});
    return job;
}

const EndJob kNoBearing{"no bearing in the store"};

} // namespace

TEST_SUITE("engine/procedure/endings")
{
    TEST_CASE("another person countersigns and returns: at the door, and past it only a complaint")
    {
        JobScript         job = finished_job();
        const std::string id  = job.step("seat", "A").facts.readings.front().at.id;
        REQUIRE(job.act(Correct{id, value("49.971", UnitOf::mm), "misread"}, "S-22"));
        CHECK(told_by(job.may(Countersign{kEndPin}, "S-22")) ==
              "Countersigning job 7001 is refused: badge S-22 gave readings to it; another person "
              "countersigns (rule 10).");
        for (const Act& act : {Act(Countersign{kEndPin}), Act(SendBack{"photo_missing", kEndPin})}) {
            job.force(act, "S-22");
            CHECK_FALSE(job.progress().review);
            CHECK(complains(job, "nobody reviews a record they gave readings to"));
        }
        REQUIRE(job.may(Countersign{kEndPin}, "S-21"));
        job.force(Countersign{kEndPin}, "S-21");
        REQUIRE(job.progress().review);
        CHECK(job.progress().review->at.actor == "S-21");
    }

    TEST_CASE("nothing is read with a retired instrument, and what was read with it stays")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.work_up_to({"seat", "A"});
        const StepRef at{"seat", "A"};
        const Ask&    ask = *std::ranges::find(job.plan().find(at)->step.asks, AskKind::reading, &Ask::kind);
        const auto    act = std::get<TakeReading>(job.good_answer(at, ask, ask.slots.front()));
        REQUIRE(job.act(act));
        job.catalogue().instruments[act.tool].retired = "dropped";
        CHECK(told_by(job.may(act)) ==
              "Seat at A is refused: " + act.tool +
                  " is retired (dropped); take another (rule 8: every reading has its unit and "
                  "instrument, and nothing is edited).");
        CHECK(job.step("seat", "A").facts.readings.size() == 1);
        job.keep(draft_of(About{"7001", "F-11", {}, 1}, HandOverFact{"F-12"}));
        CHECK(job.step("seat", "A").facts.readings.size() == 1);
        CHECK(job.progress().complaints.empty());
    }

    TEST_CASE("a planner or a supervisor ends a job with a reason, and nobody else")
    {
        JobScript job(job_of({{"BLOCK"}}));
        CHECK(told_by(job.may(kNoBearing, "F-11")) ==
              "Ending job 7001 is refused: badge F-11 is no planner and no "
              "supervisor of this plant.");
        CHECK_FALSE(job.may(kNoBearing, "A-41"));
        CHECK_FALSE(job.may(kNoBearing, "X-99"));
        CHECK(told_by(job.may(EndJob{""}, "P-31")) == "Ending job 7001 is refused: it needs a reason.");
        CHECK(job.may(kNoBearing, "S-21"));
        job.force(kNoBearing, "F-11");
        CHECK_FALSE(job.progress().ended);
        CHECK(complains(job, "only a planner or a supervisor ends a job"));
        job.force(EndJob{""}, "P-31");
        CHECK_FALSE(job.progress().ended);
        CHECK(complains(job, "it gives no reason"));
        REQUIRE(job.act(kNoBearing, "P-31"));
        REQUIRE(job.progress().ended);
        CHECK(job.progress().ended->at.actor == "P-31");
        CHECK(job.progress().ended->reason == "no bearing in the store");
        CHECK_FALSE(job.progress().started);
        CHECK(told_by(finished_job().may(kNoBearing, "P-31")) ==
              "Ending job 7001 is refused: its work is closed; countersign or return it.");
    }

    TEST_CASE("work on an ended job is refused at the door; past it it counts and is told")
    {
        JobScript      job(job_of({{"BLOCK"}}));
        const GiveCode lock{{"isolate", ""}, "lock_number", "L-7", "typed"};
        REQUIRE(job.may(lock));
        REQUIRE(job.act(kNoBearing, "P-31"));
        const std::string ended =
            "Job 7001 was ended by badge P-31 (no bearing in the store); nothing more is done on it.";
        CHECK(told_by(job.may(lock)) == ended);
        CHECK(told_by(job.may(HandOver{"F-12"})) == ended);
        CHECK(told_by(job.may(kNoBearing, "S-21")) == ended);
        CHECK(job.progress().complaints.empty());
        job.force(kNoBearing, "S-21");
        CHECK(job.progress().ended->at.actor == "P-31");
        CHECK(complains(job, "the job was ended already"));
        job.force(lock);
        REQUIRE(job.step("isolate").facts.code("lock_number") != nullptr);
        CHECK(complains(job,
                        "The job was ended by badge P-31 (no bearing in the store), and 1 entry was made "
                        "after that; look into it."));
        job.force(lock);
        CHECK(complains(job, "and 2 entries were made after that"));
    }
}
