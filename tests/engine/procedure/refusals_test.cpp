// Every refusal of the rules, made to happen and read in full: what stands in the fitter's way has to say
// what is wrong and what to do. The house test `refusals` holds this list against the sources.
#include <doctest/doctest.h>

#include "tests/support/job_entries.h"

using namespace engine;
using support::job_of;
using support::JobScript;
using support::value;

namespace {

constexpr auto kPinOfSupervisors = JobScript::kPin;

/// The refusal, its rule by number alone: the clause behind it is kept by DEVELOPERS.md and the table of
/// rules.
std::string said(const Status& status)
{
    if (status) return "allowed";
    const std::string& text  = status.error().message;
    const auto         rule  = text.find(" (rule ");
    const auto         colon = rule == std::string::npos ? rule : text.find(": ", rule);
    return colon == std::string::npos ? text : text.substr(0, colon) + ").";
}

JobScript measuring_seat()
{
    JobScript job(job_of({{"BLOCK"}}));
    job.work_up_to({"seat", "A"});
    return job;
}

TakeReading across(const std::string& text, const std::string& tool = "M-07")
{
    return {{"seat", "A"}, "diameter", "I.across", value(text, UnitOf::mm), tool, 20000, "typed"};
}

/// All of the seat read, the first diameter too small.
JobScript small_seat()
{
    JobScript job = measuring_seat();
    REQUIRE(job.act(across("49.900")));
    job.give_all({"seat", "A"});
    return job;
}

JobScript closed_job()
{
    JobScript job(job_of({{"BLOCK"}}));
    job.work_up_to({"follow_up", ""});
    return job;
}

Decide decide_seat(bool accept, const std::string& reason)
{
    return {{"seat", "A"}, accept, reason, kPinOfSupervisors};
}

} // namespace

TEST_SUITE("engine/procedure/refusals")
{
    TEST_CASE("who may not work is told who may")
    {
        const JobScript job = measuring_seat();
        CHECK(said(job.may(across("49.970"), "X-99")) ==
              "Badge X-99 is not known; scan it again or ask the planner.");
        CHECK(said(job.may(across("49.970"), "P-31")) ==
              "Badge P-31 is planner; only fitters and supervisors work on a job.");
        CHECK(said(job.may(HandOver{"X-99"})) == "Badge X-99 is not known; scan it again.");
        CHECK(said(job.may(HandOver{"A-41"})) ==
              "Handing over is refused: badge A-41 is auditor, not a fitter.");
        CHECK(said(job.may(HandOver{"F-11"})) == "Handing over is refused: badge F-11 has the job already.");
    }

    TEST_CASE("who may not decide is told why")
    {
        JobScript job = small_seat();
        CHECK(said(job.may(decide_seat(true, "other"), "X-99")) ==
              "Badge X-99 is not known; scan it again or ask the planner.");
        CHECK(said(job.may(decide_seat(true, "other"), "F-12")) ==
              "The decision on seat at A is refused: badge F-12 is fitter, and this is a supervisor's to "
              "decide (rule 10).");
        CHECK(said(job.may(decide_seat(true, "other"), "F-11")) ==
              "Seat at A is refused: badge F-11 gave its readings and may not decide on them (rule 10).");
        CHECK(said(job.may(decide_seat(true, ""), "S-21")) ==
              "Seat at A is refused: a decision has a reason (rule 10).");
        CHECK(said(job.may(Decide{{"seat", "A"}, true, "other", "0000"}, "S-21")) ==
              "The decision on seat at A is refused: the PIN does not fit badge S-21.");
        job.catalogue().people["S-22"].pin_check.clear();
        CHECK(said(job.may(decide_seat(true, "other"), "S-22")) ==
              "The decision on seat at A is refused: badge S-22 has no PIN; let the planner set one.");
        REQUIRE(job.act(decide_seat(false, "replace_part"), "S-21"));
        CHECK(said(job.may(decide_seat(true, "other"), "S-21")) ==
              "Seat at A is refused: it was decided: no; another measurement comes first (rule 10).");
        CHECK(said(job.may(CloseStep{{"seat", "A"}})) ==
              "Seat at A is refused: the decision was no; measure or answer again (rule 10).");
        CHECK(said(job.may(ReportProblem{{"seat", "A"}, "part_damaged", false})) ==
              "Seat at A is refused: the decision was no; measure or answer again first (rule 10).");
    }

    TEST_CASE("a step that cannot take it says where it stands")
    {
        JobScript job = measuring_seat();
        CHECK(said(job.may(CloseStep{{"polish", "A"}})) == "Job 7001 has no step polish at A.");
        CHECK(said(job.may(decide_seat(true, "other"), "S-21")) ==
              "Seat at A is refused: there is nothing to decide (rule 10).");
        CHECK(said(job.may(ReportProblem{{"seat", "A"}, "", false})) ==
              "Seat at A is refused: a problem has a reason (rule 10).");
        CHECK(said(job.may(ReportProblem{{"seat", "A"}, "part_damaged", true})) ==
              "Seat at A is refused: this step may not be skipped (rule 10).");
        CHECK(said(job.may(CloseStep{{"seat", "A"}})) ==
              "Seat at A is refused: 5 things to go, next the reading diameter I.across (rule 1).");
        CHECK(said(job.may(CloseStep{{"zero", "A"}})) ==
              "Zero at A is refused: slide on at A is not done yet (rule 5).");
        CHECK(said(job.may(BackOff{"Q", "overturned"})) == "Job 7001 has no position 'Q'.");
        CHECK(said(job.may(BackOff{"A", "overturned"})) ==
              "Back off at A is refused: the nut has not been brought to zero yet (rule 6).");
        job.finish({"seat", "A"});
        CHECK(said(job.may(across("49.970"))) ==
              "Seat at A is refused: it is done; correct the reading that is wrong instead (rule 8).");
        job.work_up_to({"turn", "A"});
        CHECK(said(job.may(BackOff{"A", ""})) ==
              "Back off at A is refused: say why the nut was loosened (rule 6).");
    }

    TEST_CASE("a held step and a skipped one say whose word it is")
    {
        JobScript job = small_seat();
        CHECK(said(job.may(CloseStep{{"seat", "A"}})) ==
              "Seat at A is refused: it is held for another person's decision; The seat at 20 degrees is "
              "49.9000 to 49.9700 mm: outside sheet BLOCK rev 3, seat h9 (ISO 286, h9: grade from "
              "[NSK_E1102], upper deviation 0) (rule 10).");
        JobScript skipping = closed_job();
        REQUIRE(skipping.act(ReportProblem{{"follow_up", ""}, "no_access", true}));
        REQUIRE(skipping.act(Decide{{"follow_up", ""}, true, "other", kPinOfSupervisors}, "S-21"));
        CHECK(said(skipping.may(CloseStep{{"follow_up", ""}})) ==
              "Follow up is refused: it was skipped by decision (rule 10).");
    }

    TEST_CASE("an instrument that does not fit is named")
    {
        JobScript job = measuring_seat();
        CHECK(said(job.may(across("49.970", ""))) ==
              "Seat at A is refused: say which micrometer was used (rule 8).");
        CHECK(said(job.may(across("49.970", "M-99"))) == "Instrument M-99 is not known; scan its tag again.");
        CHECK(said(job.may(across("49.970", "C-01"))) ==
              "Seat at A is refused: C-01 is a caliper, and this is read with a micrometer (rule 8).");
        CHECK(said(job.may(across("51.000"))) == "51.000 mm is outside what M-07 can read, 25.00 to 50.00 "
                                                 "mm; read again or take another instrument.");
        job.catalogue().instruments["M-07"].unit = UnitOf::celsius;
        CHECK(said(job.may(across("49.970"))) == "Seat at A is refused: M-07 does not read mm (rule 8).");
        job.catalogue().instruments["M-07"].calibration_due = "2026-11-24";
        CHECK(said(job.may(across("49.970"))) ==
              "Seat at A is refused: M-07 is out of calibration since 2026-11-24; take another (rule 8).");
    }

    TEST_CASE("a reading that cannot be says what to look at")
    {
        JobScript   job   = measuring_seat();
        TakeReading wrong = across("49.970");
        wrong.value.unit  = UnitOf::thou;
        CHECK(said(job.may(wrong)) == "Step seat at A does not take diameter in thou; use mm.");
        wrong = across("49.970");
        wrong.value.si += 10;
        CHECK(said(job.may(wrong)) == "'49.970' is not the value it is said to be; enter it again.");
        job.catalogue().instruments["M-07"].high = 600;
        CHECK(said(job.may(across("499.70"))) ==
              "499.70 mm cannot be at seat at A: it is ten times off what sheet BLOCK rev 3, seat h9 (ISO "
              "286) expects; read again and look at unit and decimal mark.");
        wrong      = across("49.970");
        wrong.slot = "III.up";
        CHECK(said(job.may(wrong)) == "Step seat at A has no place 'III.up' for diameter.");
        wrong     = across("49.970");
        wrong.via = "guessed";
        CHECK(said(job.may(wrong)) ==
              "A reading is typed, set on the dial, clicked, or comes by gauge or scan, not by 'guessed'.");
        wrong     = across("49.970");
        wrong.ask = "weight";
        CHECK(said(job.may(wrong)) == "Step seat at A does not ask for 'weight'.");
        job.work_up_to({"turn", "A"});
        const auto turn = [](const char* text) {
            return TakeReading{{"turn", "A"}, "turn", "", value(text, UnitOf::deg), "", {}, "typed"};
        };
        REQUIRE(job.act(turn("110")));
        CHECK(said(job.may(turn("109"))) == "Turn at A is refused: 109 ° is less than the 110 ° turned "
                                            "already; if the nut was loosened, report a back-off (rule 6).");
        job.finish({"turn", "A"});
        CHECK(said(job.may(
                  TakeReading{{"lock", "A"}, "extra", "", value("-5", UnitOf::deg), "", {}, "typed"})) ==
              "Lock at A is refused: the nut went on by -5 °, which is backwards (rule 7).");
    }

    TEST_CASE("a correction says why, and something else than the reading")
    {
        JobScript job = measuring_seat();
        job.finish({"seat", "A"});
        const ReadingFact& fact = *job.step("seat", "A").facts.reading("diameter", "I.across");
        const std::string  id   = fact.at.id;
        const Entered      same = fact.value;
        CHECK(said(job.may(Correct{id, value("49.965", UnitOf::mm), ""})) ==
              "Seat at A is refused: a correction says why (rule 8).");
        CHECK(said(job.may(Correct{id, same, "misread"})) ==
              "Seat at A is refused: the correction says what the reading says (rule 8).");
        CHECK(said(job.may(Correct{"0123456789abcdef", same, "misread"})) ==
              "There is no reading 0123456789ab among the present readings of job 7001.");
    }

    TEST_CASE("an answer, a code and a photo that are none say so")
    {
        JobScript job(job_of({{"BLOCK"}}));
        CHECK(
            said(job.may(GiveCode{{"isolate", ""}, "lock_number", " ", "typed"})) ==
            "The code for lock_number at isolate is empty or longer than 80 letters; scan or type it again.");
        CHECK(said(job.may(KeepPhoto{{"isolate", ""}, "lock_photo", {}, "test"})) ==
              "The photo at isolate is empty; take it again.");
        job.finish({"isolate", ""});
        CHECK(said(job.may(Choose{{"papers", ""}, "unit", "perhaps"})) ==
              "'perhaps' is not offered for unit at papers.");
    }

    TEST_CASE("a closed job says what is left to do")
    {
        JobScript job = closed_job();
        CHECK(
            said(job.may(across("49.970"))) ==
            "Seat at A is refused: the job is closed; only corrections and the follow-up are left (rule 8).");
        CHECK(said(job.may(BackOff{"A", "overturned"})) ==
              "Back off at A is refused: the job is closed; a bearing taken up again is a new job (rule 8).");
    }

    TEST_CASE("a review that cannot be says what comes first")
    {
        JobScript none(job_of({{"BLOCK"}}));
        CHECK(said(none.may(Countersign{kPinOfSupervisors}, "S-21")) ==
              "Countersigning job 7001 is refused: the job is not closed yet.");
        CHECK(said(none.may(SendBack{"photo_missing", kPinOfSupervisors}, "S-21")) ==
              "Returning job 7001 is refused: nobody has begun it.");
        JobScript job = closed_job();
        CHECK(said(job.may(SendBack{"", kPinOfSupervisors}, "S-21")) ==
              "Returning job 7001 is refused: a return has a reason.");
        REQUIRE(job.act(Countersign{kPinOfSupervisors}, "S-21"));
        CHECK(said(job.may(Countersign{kPinOfSupervisors}, "S-21")) ==
              "Countersigning job 7001 is refused: it is countersigned and nothing came since.");
        const std::string id = job.step("seat", "A").facts.readings.front().at.id;
        REQUIRE(job.act(Correct{id, value("49.900", UnitOf::mm), "misread"}, "S-22"));
        CHECK(
            said(job.may(Countersign{kPinOfSupervisors}, "S-21")) ==
            "Countersigning job 7001 is refused: seat at A is held for a decision (rule 10); decide first.");
        REQUIRE(job.act(Decide{{"seat", "A"}, true, "other", kPinOfSupervisors}, "S-21"));
        REQUIRE(job.act(CloseStep{{"seat", "A"}}));
        CHECK(said(job.may(Countersign{kPinOfSupervisors}, "S-22")) ==
              "Countersigning job 7001 is refused: badge S-22 gave readings to it; another person "
              "countersigns (rule 10).");
        CHECK(said(job.may(SendBack{"photo_missing", kPinOfSupervisors}, "S-22")) ==
              "Returning job 7001 is refused: badge S-22 gave readings to it; another person returns it "
              "(rule 10).");
    }
}
