// The ten rules of the trade, each with an attempt to break it: at the door (`allowed`) and past it, by
// entries a faulty machine might have written.
#include <doctest/doctest.h>

#include "tests/support/job_entries.h"

using namespace engine;
using support::job_of;
using support::JobScript;
using support::value;

namespace {

constexpr auto kBoltsLoose  = Hold::expansion;
constexpr auto kDecidersPin = JobScript::kPin;

std::string told(const Status& status)
{
    return status ? std::string("allowed") : status.error().message;
}

bool refused(const Status& status, const std::string& words)
{
    CAPTURE(told(status));
    const bool right = !status && status.error().message.find(words) != std::string::npos;
    if (!right) MESSAGE(told(status));
    return right;
}

/// Past the rules the act must leave no trace but a complaint.
bool leaves_only_a_complaint(JobScript& job, const Act& act, const std::string& actor = JobScript::kFitter)
{
    const auto before = job.progress();
    job.force(act, actor);
    const auto& after = job.progress();
    bool        same  = after.complaints.size() == before.complaints.size() + 1;
    for (std::size_t at = 0; at < after.steps.size(); ++at)
        same = same && after.steps[at].state == before.steps[at].state &&
               ids_of(after.steps[at].facts) == ids_of(before.steps[at].facts) &&
               after.steps[at].facts.decisions.size() == before.steps[at].facts.decisions.size();
    return same;
}

TakeReading reading(const StepRef& at, const std::string& ask, const Entered& entered,
                    const std::string& tool = {}, const std::string& slot = {})
{
    return {at, ask, slot, entered, tool, 20000, "typed"};
}

TakeReading seat(const std::string& slot, const std::string& text, const std::string& tool = "M-07")
{
    return reading({"seat", "A"}, "diameter", value(text, UnitOf::mm), tool, slot);
}

JobScript at_seat()
{
    JobScript job(job_of({{"BLOCK"}}));
    job.work_up_to({"seat", "A"});
    return job;
}

/// Seat all there and too small: held.
JobScript held_at_seat()
{
    JobScript job = at_seat();
    REQUIRE(job.act(seat("I.across", "49.900")));
    job.give_all({"seat", "A"});
    REQUIRE(job.step("seat", "A").state == StepState::held);
    return job;
}

} // namespace

TEST_SUITE("engine/procedure/rules")
{
    TEST_CASE("rule 1: a step that waits takes nothing and cannot be closed")
    {
        JobScript  job(job_of({{"BLOCK"}, {"FULL", kBoltsLoose}}));
        const auto turn = reading({"turn", "A"}, "turn", value("110", UnitOf::deg));
        job.work_up_to({"seat", "A"});
        CHECK(refused(job.may(turn), "Turn at A is refused: mark at A is not done yet (rule 1"));
        CHECK(leaves_only_a_complaint(job, turn));
        CHECK(leaves_only_a_complaint(job, CloseStep{{"align", ""}}));
        CHECK(job.progress().complaints.back().find("waited for") != std::string::npos);
    }

    TEST_CASE("rule 2: nothing comes before isolation with lock number and photo")
    {
        JobScript     job(job_of({{"BLOCK"}}));
        const StepRef isolate{"isolate", ""};
        CHECK(refused(job.may(Choose{{"papers", ""}, "unit", "right"}), "rule 2: isolation is confirmed"));
        CHECK(refused(job.may(KeepPhoto{{"clean", "A"}, "seat", {1}, "test"}), "is not done yet"));
        REQUIRE(job.act(GiveCode{isolate, "lock_number", "L-7", "typed"}));
        CHECK(refused(job.may(CloseStep{isolate}), "one photo to go: lock photo"));
        CHECK(refused(job.may(GiveCode{isolate, "lock_number", "  ", "typed"}), "is empty"));
        CHECK(leaves_only_a_complaint(job, CloseStep{isolate}));
        CHECK(refused(job.may(ReportProblem{isolate, "called_away", true}), "may not be skipped"));
    }

    TEST_CASE("rule 3: the bearing does not slide on while the seat is outside or undecided")
    {
        for (const char* const diameter : {"49.900", "50.000"}) {
            CAPTURE(diameter); // h9 of 50 is 49.938 to 50.000 (ISO 286-2); 50.000 +-U is not decided
            JobScript job = at_seat();
            for (const char* const slot : {"I.across", "I.up", "II.across", "II.up"})
                REQUIRE(job.act(seat(slot, diameter)));
            job.give_all({"seat", "A"});
            CHECK(job.step("seat", "A").state == StepState::held);
            CHECK(refused(job.may(CloseStep{{"seat", "A"}}), "held for another person's decision"));
            const GiveCode serial{{"slide_on", "A"}, "serial", "SN-1", "scan"};
            CHECK(refused(job.may(serial), "seat at A is not done yet (rule 3"));
            CHECK(leaves_only_a_complaint(job, CloseStep{{"seat", "A"}}));
            CHECK(leaves_only_a_complaint(job, serial));
        }
        SUBCASE("another measurement frees it")
        {
            JobScript job = held_at_seat();
            REQUIRE(job.act(seat("I.across", "49.970")));
            CHECK(job.act(CloseStep{{"seat", "A"}}));
            CHECK(job.step("seat", "A").facts.repeats.size() == 1);
            CHECK_FALSE(job.step("seat", "A").deviation);
        }
        SUBCASE("a supervisor's release frees it, as a deviation")
        {
            JobScript job = held_at_seat();
            REQUIRE(job.act(Decide{{"seat", "A"}, true, "within_experience", kDecidersPin}, "S-21"));
            CHECK(job.act(CloseStep{{"seat", "A"}}));
            CHECK(job.step("seat", "A").deviation);
        }
    }

    TEST_CASE("rule 4: bolts stay loose until every nut is locked")
    {
        JobScript  job(job_of({{"BLOCK"}, {"FULL", kBoltsLoose}}));
        const auto bolt =
            reading({"bolt_down", "A"}, "torque", value("200", UnitOf::newton_metre), "W-01", "1");
        job.work_up_to({"lock", "A"});
        CHECK(refused(job.may(bolt),
                      "Bolt down at A is refused: lock at A is not done yet (rule 4: bolts stay loose"));
        job.work_up_to({"lock", "B"}); // A is locked now
        CHECK(refused(job.may(bolt), "Bolt down at A is refused: "));
        CHECK(refused(job.may(bolt), "(rule 4: bolts stay loose until every nut is locked)"));
        CHECK(leaves_only_a_complaint(job, bolt));
    }

    // 148 lbf.ft = 200.661 N.m (1 lbf.ft = 1.3558179 N.m, NIST SP 811).
    TEST_CASE("a torque is taken in the unit of the wrench, pound-feet or newton metres")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.catalogue().instruments["W-02"] = {"W-02", Tool::torque_wrench, UnitOf::lbf_ft, 20, 200, 1,
                                               6,      "2027-03-31"};
        job.work_up_to({"bolt_down", "A"});
        const StepRef at{"bolt_down", "A"};
        REQUIRE(job.act(reading(at, "torque", value("148", UnitOf::lbf_ft), "W-02", "1")));
        const auto& taken = job.step("bolt_down", "A").facts.readings.front();
        CHECK(taken.value.si == 200661);
        CHECK(taken.value.text == "148");
        CHECK(taken.u_si >= 9393); // its error limit of 6 lbf.ft, as a rectangle, with k = 2: 9.39 N.m
        CHECK(refused(job.may(reading(at, "torque", value("250", UnitOf::lbf_ft), "W-02", "2")),
                      "outside what W-02"));
    }

    TEST_CASE("a refusal of an instrument's range shows a range that the reading is outside of")
    {
        JobScript job                           = at_seat();
        job.catalogue().instruments["M-07"].low = 49.985;
        CHECK(refused(job.may(seat("I.across", "49.982")),
                      "49.982 mm is outside what M-07 can read, 49.985 to 50.00 mm"));
        job.catalogue().instruments["M-07"].low  = 25;
        job.catalogue().instruments["M-07"].high = 49.968;
        CHECK(refused(job.may(seat("I.across", "49.969")),
                      "49.969 mm is outside what M-07 can read, 25.00 to 49.968 mm"));
    }

    // The sheet's 135 degrees are 0.375 of a turn, which two decimals would round past 0.376.
    TEST_CASE("a reading told as outside shows a limit that it is outside of")
    {
        JobScript     job(job_of({{"BLOCK"}}));
        const StepRef turn{"turn", "A"};
        job.work_up_to(turn);
        REQUIRE(job.act(reading(turn, "turn", value("0.376", UnitOf::turn))));
        const std::string& told = job.step("turn", "A").assessment.sentence;
        CHECK_MESSAGE(told.find("is 0.376 turn; ") != std::string::npos, told);
        CHECK_MESSAGE(told.find("0.25 to 0.375 turn.") != std::string::npos, told);
    }

    TEST_CASE("the turn and what the lock tab added are told with the digits that break the sheet's limit")
    {
        JobScript     job(job_of({{"BLOCK"}})); // 90 to 135 degrees
        const StepRef turn{"turn", "A"}, lock{"lock", "A"};
        CHECK(assess_turn(job.plan(), job.progress().facts(), "A", Degrees{135.2})
                  .sentence.find("stands at 135.2 deg") != std::string::npos);
        CHECK(assess_turn(job.plan(), job.progress().facts(), "A", Degrees{89.7})
                  .sentence.find("stands at 89.7 deg") != std::string::npos);
        job.work_up_to(turn);
        REQUIRE(job.act(reading(turn, "turn", value("130", UnitOf::deg))));
        job.work_up_to(lock);
        job.force(reading(lock, "extra", value("5.3", UnitOf::deg)));
        CHECK_MESSAGE(job.step("lock", "A").assessment.sentence.find("135.3 deg, above the 135 deg") !=
                          std::string::npos,
                      job.step("lock", "A").assessment.sentence);
    }

    TEST_CASE("a reading the record holds with a comma keeps its meaning; a new one with it is refused")
    {
        JobScript job = at_seat();
        CHECK(job.may(seat("I.across", "49.970")));
        const Entered old = *enter_kept("49,970", UnitOf::mm);
        CHECK(old.si == 499700);
        CHECK(refused(job.may(reading({"seat", "A"}, "diameter", old, "M-07", "I.across")),
                      "can be 49970 and 49.970"));
        job.force(reading({"seat", "A"}, "diameter", old, "M-07", "I.across"));
        REQUIRE(job.step("seat", "A").facts.readings.size() == 1);
        CHECK(job.step("seat", "A").facts.readings.front().value.si == 499700);
        CHECK(job.progress().complaints.empty());
    }

    TEST_CASE("rule 4: the second flange keeps its shims until zero, and loses them before the mark")
    {
        JobScript job(job_of({{"FLANGE"}, {"FLANGE"}}));
        job.work_up_to({"zero", "B"});
        CHECK(refused(job.may(Choose{{"shims_out", "B"}, "bolts", "slack"}),
                      "zero at B is not done yet (rule 4"));
        job.finish({"zero", "B"});
        CHECK(refused(job.may(KeepPhoto{{"mark", "B"}, "mark", {1}, "test"}),
                      "shims out at B is not done yet"));
        REQUIRE(job.act(Choose{{"shims_out", "B"}, "bolts", "tightened"}));
        job.give_all({"shims_out", "B"});
        CHECK(job.step("shims_out", "B").state == StepState::held);
    }

    TEST_CASE("rule 5: the expansion nut waits for the fixed one, wherever it stands on the shaft")
    {
        JobScript job(job_of({{"FULL", kBoltsLoose}, {"BLOCK"}}));
        job.work_up_to({"turn", "B"});
        const Choose zero{{"zero", "A"}, "grips", "yes"};
        CHECK(refused(job.may(zero),
                      "Zero at A is refused: lock at B is not done yet (rule 5: fixed before expansion"));
        CHECK(leaves_only_a_complaint(job, zero));
        job.work_up_to({"bolt_down", "B"});
        const auto bolt =
            reading({"bolt_down", "A"}, "torque", value("200", UnitOf::newton_metre), "W-01", "1");
        CHECK(refused(job.may(bolt), "bolt down at B is not done yet (rule 5"));
    }

    TEST_CASE("rule 6: the nut angle never decreases")
    {
        JobScript     job(job_of({{"BLOCK"}}));
        const StepRef turn{"turn", "A"};
        job.work_up_to(turn);
        const auto angle = [&](const char* text, UnitOf unit = UnitOf::deg) {
            return reading(turn, "turn", value(text, unit));
        };
        REQUIRE(job.act(angle("40")));
        REQUIRE(job.act(angle("110")));
        CHECK(refused(job.may(angle("109")), "(rule 6: the nut angle never decreases"));
        CHECK(refused(job.may(angle("0.30", UnitOf::turn)), "rule 6"));
        CHECK(leaves_only_a_complaint(job, angle("40")));
        CHECK(job.progress().position("A")->turned == Degrees{110.0});
        CHECK(job.step("turn", "A").facts.repeats.size() == 1);
        job.finish(turn);
        const auto back = reading({"lock", "A"}, "extra", value("-5", UnitOf::deg));
        CHECK(refused(job.may(back), "backwards"));
        CHECK(leaves_only_a_complaint(job, back));
    }

    TEST_CASE("rule 6: a correction to a smaller angle is held until another person has looked")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.work_up_to({"lock", "A"});
        const std::string id = job.step("turn", "A").facts.readings.front().at.id;
        REQUIRE(job.act(Correct{id, value("100", UnitOf::deg), "misread"}));
        CHECK(job.step("turn", "A").state == StepState::held);
        CHECK(job.step("lock", "A").state == StepState::waiting);
        CHECK_FALSE(job.step("turn", "A").assessment.sentence.empty());
    }

    TEST_CASE("rule 7: the lock tab may not take the final angle over the limit unnoticed")
    {
        JobScript job(job_of({{"BLOCK"}}));
        job.work_up_to({"lock", "A"}); // turned 110 of at most 135
        REQUIRE(job.act(reading({"lock", "A"}, "extra", value("26", UnitOf::deg))));
        job.give_all({"lock", "A"});
        CHECK(job.step("lock", "A").state == StepState::held);
        CHECK(refused(job.may(CloseStep{{"lock", "A"}}), "rule 10"));
        CHECK(leaves_only_a_complaint(job, CloseStep{{"lock", "A"}}));
        REQUIRE(job.act(reading({"lock", "A"}, "extra", value("25", UnitOf::deg))));
        CHECK(job.act(CloseStep{{"lock", "A"}}));
    }

    TEST_CASE("rule 8: a reading without its unit, its instrument or its place is refused")
    {
        JobScript job = at_seat();
        CHECK(refused(job.may(seat("I.across", "49.970", "")), "say which micrometer"));
        CHECK(refused(job.may(seat("I.across", "49.970", "M-99")), "M-99 is not known"));
        CHECK(refused(job.may(seat("I.across", "49.970", "C-01")), "C-01 is a caliper"));
        CHECK(refused(job.may(seat("III.up", "49.970")), "no place 'III.up'"));
        job.catalogue().instruments["M-07"].calibration_due = "2026-11-24";
        CHECK(refused(job.may(seat("I.across", "49.970")), "out of calibration since 2026-11-24"));
        job.catalogue().instruments["M-07"].calibration_due = JobScript::kToday;
        CHECK(job.may(seat("I.across", "49.970")));
        auto thou       = seat("I.across", "49.970");
        thou.value.unit = UnitOf::thou;
        CHECK(refused(job.may(thou), "does not take diameter in thou"));
        auto moved = seat("I.across", "49.970");
        moved.value.si += 10;
        CHECK(refused(job.may(moved), "is not the value it is said to be"));
        CHECK(leaves_only_a_complaint(job, moved));
    }

    TEST_CASE("rule 8: what cannot be is stopped, what is merely beside the limits is taken as true")
    {
        JobScript job                            = at_seat();
        job.catalogue().instruments["M-07"].high = 600;
        job.catalogue().instruments["M-07"].low  = 0;
        const auto out_of_range                  = [&](const char* text) {
            const Status status = job.may(seat("I.across", text));
            return !status && status.error().fault == Fault::out_of_range;
        };
        for (const char* const slip : {"499.70", "4.9970", "1.967", "0.04997"})
            CHECK_MESSAGE(out_of_range(slip), slip);
        for (const char* const possible : {"49.100", "51.0", "49.970", "60.0"})
            CHECK_MESSAGE(job.may(seat("I.across", possible)), possible);
        job.catalogue().instruments["M-07"].high = 50;
        CHECK(out_of_range("51.0"));
    }

    TEST_CASE("rule 8: nothing is edited: a correction strikes the old value readable and says why")
    {
        JobScript job = at_seat();
        job.finish({"seat", "A"});
        CHECK(refused(job.may(seat("I.across", "49.960")), "it is done; correct the reading"));
        const std::string id = job.step("seat", "A").facts.reading("diameter", "I.up")->at.id;
        CHECK(refused(job.may(Correct{id, value("49.965", UnitOf::mm), ""}), "says why"));
        CHECK(refused(job.may(Correct{"nobody", value("49.965", UnitOf::mm), "misread"}),
                      "There is no reading"));
        CHECK(refused(job.may(Correct{id, value("499.65", UnitOf::mm), "misread"}), "cannot be"));
        REQUIRE(job.act(Correct{id, value("49.965", UnitOf::mm), "misread"}, "F-12"));
        const ReadingFact& fact = *job.step("seat", "A").facts.reading("diameter", "I.up");
        CHECK(fact.value.text == "49.965");
        CHECK(fact.at.id == id);
        REQUIRE(fact.struck.size() == 1);
        CHECK(fact.struck[0].text == "49.970");
        CHECK(fact.struck[0].by.actor == "F-12");
        CHECK(job.step("seat", "A").state == StepState::done);
    }

    TEST_CASE("rule 9: limits come from the sheet and say so; the program's own figures only advise")
    {
        JobScript job(job_of({{"FULL", kBoltsLoose}}));
        job.work_up_to({"lock", "A"});
        const ReadingFact& turn = job.step("turn", "A").facts.readings.front();
        REQUIRE(turn.limits);
        CHECK(turn.limits->source.find("sheet FULL rev 3") != std::string::npos);
        CHECK(turn.limits->high == 135000);
        for (const StepStatus& status : job.progress().steps)
            if (!status.assessment.advice.empty()) CHECK(status.assessment.verdict == Verdict::inside);
    }

    TEST_CASE("rule 10: only another person, a supervisor with the right PIN, decides, and gives a reason")
    {
        JobScript     job = held_at_seat();
        const StepRef at{"seat", "A"};
        CHECK(
            refused(job.may(Decide{at, true, "within_experience", kDecidersPin}, "F-11"), "may not decide"));
        CHECK(refused(job.may(Decide{at, true, "within_experience", kDecidersPin}, "F-12"), "is fitter"));
        CHECK(refused(job.may(Decide{at, true, "within_experience", "0000"}, "S-21"), "PIN does not fit"));
        CHECK(refused(job.may(Decide{at, true, "", kDecidersPin}, "S-21"), "has a reason"));
        CHECK(refused(job.may(Decide{at, true, "other", kDecidersPin}, "X-99"), "not known"));
        CHECK(leaves_only_a_complaint(job, Decide{at, true, "within_experience", kDecidersPin}, "F-12"));
        CHECK(leaves_only_a_complaint(job, Decide{at, true, "within_experience", kDecidersPin}, "F-11"));
        job.catalogue().people["S-22"].pin_check.clear();
        CHECK(refused(job.may(Decide{at, true, "within_experience", ""}, "S-22"), "has no PIN"));
        CHECK(job.may(Decide{at, true, "within_experience", kDecidersPin}, "S-21"));
    }

    TEST_CASE("rule 10: a supervisor who measured may not release the measurement")
    {
        JobScript job = at_seat();
        REQUIRE(job.act(seat("I.across", "49.900"), "S-21"));
        job.give_all({"seat", "A"});
        CHECK(refused(job.may(Decide{{"seat", "A"}, true, "other", kDecidersPin}, "S-21"),
                      "may not decide on them"));
        CHECK(job.may(Decide{{"seat", "A"}, true, "other", kDecidersPin}, "S-22"));
    }

    TEST_CASE("planners and auditors look and do not touch")
    {
        JobScript      job(job_of({{"BLOCK"}}));
        const GiveCode lock{{"isolate", ""}, "lock_number", "L-7", "typed"};
        CHECK(refused(job.may(lock, "P-31"), "is planner"));
        CHECK(refused(job.may(lock, "A-41"), "is auditor"));
        CHECK(refused(job.may(lock, "X-99"), "not known"));
        CHECK(refused(job.may(HandOver{"A-41"}), "not a fitter"));
        CHECK(refused(job.may(HandOver{"F-11"}), "has the job already"));
        CHECK(job.may(HandOver{"F-12"}));
    }

    TEST_CASE("a closed job takes corrections, the follow-up and the review, and nothing else")
    {
        JobScript job(job_of({{"BLOCK"}}));
        CHECK(refused(job.may(Countersign{kDecidersPin}, "S-21"), "not closed yet"));
        job.work_up_to({"follow_up", ""});
        REQUIRE(job.progress().closed);
        CHECK(refused(job.may(BackOff{"A", "overturned"}), "the job is closed"));
        CHECK(refused(job.may(seat("I.up", "49.970")), "the job is closed"));
        CHECK(job.may(Choose{{"follow_up", ""}, "bolts", "tight"}));
        CHECK(refused(job.may(Countersign{"0000"}, "S-21"), "PIN does not fit"));
        CHECK(refused(job.may(Countersign{kDecidersPin}, "F-12"), "is fitter"));
        CHECK(refused(job.may(SendBack{"", kDecidersPin}, "S-21"), "has a reason"));
        REQUIRE(job.act(Countersign{kDecidersPin}, "S-21"));
        CHECK(refused(job.may(Countersign{kDecidersPin}, "S-21"), "nothing came since"));
        const std::string id = job.step("seat", "A").facts.readings.front().at.id;
        REQUIRE(job.act(Correct{id, value("49.900", UnitOf::mm), "misread"}));
        CHECK(job.step("seat", "A").state == StepState::held);
        CHECK(refused(job.may(Countersign{kDecidersPin}, "S-21"), "seat at A is held"));
        REQUIRE(job.act(Decide{{"seat", "A"}, true, "within_experience", kDecidersPin}, "S-21"));
        REQUIRE(job.act(CloseStep{{"seat", "A"}}));
        CHECK(job.may(Countersign{kDecidersPin}, "S-21"));
    }
}
