// What a job is once it was begun, whose locks hang on it, and what a return asks for.
#include <doctest/doctest.h>

#include "tests/engine/evidence/told_job.h"
#include "tests/support/job_entries.h"

using namespace engine;
using support::JobScript;
using support::ToldJob;

namespace {

Job line_of(const std::string& asset, const std::string& title)
{
    Job job   = support::job_of({{"BLOCK"}});
    job.asset = asset;
    job.title = title;
    return job;
}

std::string words_of_refusal(const Status& status)
{
    return status ? std::string("allowed") : status.error().message;
}

JobScript at_its_end()
{
    JobScript job(support::job_of({{"BLOCK"}}));
    job.work_up_to({"follow_up", ""});
    return job;
}

} // namespace

TEST_SUITE("engine/procedure/identity")
{
    TEST_CASE("a job is what it was when work on it began, whatever is opened under its number later")
    {
        ToldJob told(line_of("TL-01", "First"));
        told.clock().advance_minutes(1);
        told.plan(line_of("TL-02", "Second")); // nobody has worked on it: the planner may think again
        CHECK(told.state()->plan.job.asset == "TL-02");
        CHECK_FALSE(told.book().has_begun("7001"));
        told.finish({"isolate", ""});
        CHECK(told.book().has_begun("7001"));
        told.clock().advance_minutes(1);
        told.plan(line_of("TL-03", "Third"));
        CHECK(told.state()->plan.job.asset == "TL-02");
        CHECK(told.book().catalogue().job("7001")->title == "Second");
        const auto complaints = told.state()->progress.complaints;
        REQUIRE(complaints.size() == 1);
        CHECK(complaints[0].find("Third, machine TL-03") != std::string::npos);
        CHECK(complaints[0].find("stays Second, machine TL-02") != std::string::npos);
        // The same from a book read anew, and beside the writer.
        BookOptions options;
        options.read_only  = true;
        const auto another = Book::open(told.book().file(), told.clock(), options, false);
        REQUIRE(another);
        CHECK(another->catalogue().job("7001")->asset == "TL-02");
        CHECK(another->openings_that_do_not_count("7001").size() == 1);
    }

    TEST_CASE("a second person locks the machine too, at the door and from a tablet that had not heard of "
              "the first")
    {
        JobScript job(support::job_of({{"BLOCK"}}));
        job.finish({"isolate", ""});
        const GiveCode  lock{{"isolate", ""}, "lock_number", "L-8", "typed"};
        const KeepPhoto photo{{"isolate", ""}, "lock_photo", {0xFF, 0xD8}, "test"};
        CHECK(words_of_refusal(job.may(lock)).find("it is done") !=
              std::string::npos); // one's own hangs there
        CHECK(job.act(lock, "F-12"));
        CHECK(job.act(photo, "F-12"));
        job.force(CloseStep{{"isolate", ""}}, "F-12"); // as the other tablet wrote it
        CHECK(job.progress().complaints.empty());
        const StepFacts& facts = job.step("isolate").facts;
        REQUIRE(facts.codes.size() == 2);
        CHECK(facts.codes[0].at.actor == JobScript::kFitter);
        CHECK(facts.codes[1].text == "L-8");
        CHECK(job.step("isolate").state == StepState::done);
        CHECK(facts.done->actor == JobScript::kFitter);
    }

    TEST_CASE("two who lock at the same time both stay in the record")
    {
        JobScript job(support::job_of({{"BLOCK"}}));
        REQUIRE(job.act(GiveCode{{"isolate", ""}, "lock_number", "L-7", "typed"}, "F-11"));
        REQUIRE(job.act(GiveCode{{"isolate", ""}, "lock_number", "L-8", "typed"}, "F-12"));
        REQUIRE(job.act(GiveCode{{"isolate", ""}, "lock_number", "L-9", "typed"}, "F-12")); // read again
        const auto& codes = job.step("isolate").facts.codes;
        REQUIRE(codes.size() == 2);
        CHECK(codes[0].text == "L-7");
        CHECK(codes[1].text == "L-9");
    }

    TEST_CASE("a returned job is not countersigned before something was done to it")
    {
        JobScript job = at_its_end();
        REQUIRE(job.act(SendBack{"photo_unclear", JobScript::kPin}, "S-21"));
        const Countersign sign{JobScript::kPin};
        CHECK(words_of_refusal(job.may(sign, "S-21")) ==
              "Countersigning job 7001 is refused: it was sent back and nothing was done since; the fitter "
              "mends it "
              "first.");
        const auto before = job.progress().complaints.size();
        job.force(sign, "S-21");
        CHECK(job.progress().complaints.size() == before + 1);
        CHECK_FALSE(job.progress().review->countersigned);
        REQUIRE(job.act(HandOver{"F-12"}));
        CHECK_FALSE(job.may(sign, "S-21")); // handing over is no work
        // The fitter answers with a new photo, of a step long closed.
        CHECK(job.act(KeepPhoto{{"mark", "A"}, "mark", {0xFF, 0xD8}, "test"}));
        CHECK(job.act(sign, "S-21"));
        CHECK(job.progress().review->countersigned);
        CHECK(words_of_refusal(job.may(KeepPhoto{{"mark", "A"}, "mark", {0xFF, 0xD8}, "test"})) != "allowed");
    }

    TEST_CASE("another person countersigns: whoever gave readings does not, at the door and past it")
    {
        JobScript job(support::job_of({{"BLOCK"}}));
        job.work_up_to({"seat", "A"});
        REQUIRE(job.act(TakeReading{{"seat", "A"},
                                    "diameter",
                                    "I.across",
                                    support::value("49.970", UnitOf::mm),
                                    "M-07",
                                    20000,
                                    "typed"},
                        "S-21"));
        job.work_up_to({"follow_up", ""});
        const Countersign sign{JobScript::kPin};
        CHECK(words_of_refusal(job.may(sign, "S-21")).find("another person countersigns") !=
              std::string::npos);
        const auto before = job.progress().complaints.size();
        job.force(sign, "S-21");
        CHECK(job.progress().complaints.size() == before + 1);
        CHECK_FALSE(job.progress().review);
        CHECK(job.act(sign, "S-22"));
    }
}
