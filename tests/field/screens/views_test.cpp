// What the fitter's screens say of a job, before anything is drawn. Values are inputs of the invented plant.
#include "field/screens/fitter/bolts.h"
#include "field/screens/fitter/coming_back.h"
#include "field/screens/fitter/job_sheet.h"
#include "field/screens/fitter/kit_list.h"
#include "field/screens/fitter/problem.h"
#include "field/screens/fitter/record.h"
#include "field/screens/fitter/release.h"
#include "field/screens/fitter/today.h"
#include "field/screens/fitter/turn.h"
#include "field/screens/page.h"

#include <doctest/doctest.h>

#include "tests/field/screens/screens_support.h"

using namespace field::screens;
using support::job_of;
using support::Seen;

namespace {

TodayView today(Seen& seen)
{
    const auto state = std::make_shared<const engine::JobState>(seen.state());
    return view_of(seen.context(), {JobGlance{state->plan.job, state, ""}});
}

StepInHand at(const std::string& key, const std::string& pos)
{
    StepInHand hand;
    hand.at = {key, pos};
    return hand;
}

template <class Lines> bool has_line(const Lines& lines, const std::string& what, const std::string& value)
{
    return std::any_of(lines.begin(), lines.end(),
                       [&](const RecordLine& line) { return line.what == what && line.value == value; });
}

} // namespace

TEST_SUITE("field/screens")
{
    // 200 N.m = 147.5 lbf.ft, 30 % of it 44.3 (1 lbf.ft = 1.3558179 N.m, NIST SP 811).
    TEST_CASE("a wrench in pound-feet is set and read in pound-feet: nobody converts at the machine")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"bolt_down", "A"});
        StepInHand   hand   = at("bolt_down", "A");
        const double torque = seen.state().plan.unit("A")->bolt_torque.value;
        CHECK(view_of_bolts(seen.context(), seen.state(), hand).unit == "N\u00b7m");
        CHECK(view_of_bolts(seen.context(), seen.state(), hand).torque == engine::fixed(0.3 * torque, 0));
        seen.script.catalogue().instruments["W-01"] = {
            "W-01", engine::Tool::torque_wrench, engine::UnitOf::lbf_ft, 20, 250, 1, 6, "2027-03-31"};
        const BoltsView view = view_of_bolts(seen.context(), seen.state(), hand);
        CHECK(view.unit == "lb\u00b7ft");
        CHECK(view.torque == engine::fixed(0.3 * torque / 1.3558179483314, 0));
        CHECK(view.passes.back().torque == engine::fixed(torque / 1.3558179483314, 0) + " lb\u00b7ft");
        open_keypad(hand, seen.context(), seen.state().plan, {"torque", "1"});
        CHECK(hand.tool == "W-01");
        CHECK(hand.keypad.unit() == engine::UnitOf::lbf_ft);
        hand.keypad.press("9");
        const auto typed = view_of(seen.context(), seen.state(), hand);
        REQUIRE(typed.typing_gauge);
        CHECK(typed.typing_gauge->decimals == 1); // 138.7 to 156.4: no whole numbers
        // A wrench whose range ends below the torque, in its own unit, is not offered first.
        seen.script.catalogue().instruments["W-00"] = {"W-00",
                                                       engine::Tool::torque_wrench,
                                                       engine::UnitOf::lbf_ft,
                                                       5,
                                                       torque / 1.3558179483314 - 5,
                                                       1,
                                                       2,
                                                       "2027-03-31"};
        CHECK(tools_for(seen.context(), engine::Tool::torque_wrench, torque) ==
              std::vector<std::string>{"W-01"});
    }

    TEST_CASE("today offers to open a job nobody began, and to carry on with one in work")
    {
        Seen seen(job_of({{"BLOCK"}}));
        REQUIRE(today(seen).rows.size() == 1);
        CHECK(today(seen).rows[0].mark == JobMark::not_started);
        CHECK(today(seen).rows[0].action == "Open");
        seen.script.work_up_to({"clean", "A"});
        const JobRow row = today(seen).rows[0];
        CHECK(row.mark == JobMark::carry_on);
        CHECK(row.action == "Carry on");
        CHECK(row.line.find("clean the surfaces") != std::string::npos);
    }

    TEST_CASE("a held job says on today's list that a supervisor has to decide")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.give_bad_seat("A");
        CHECK(today(seen).rows[0].mark == JobMark::held);
        CHECK(today(seen).rows[0].line == "A: measure the seat: a supervisor has to decide");
    }

    TEST_CASE("a sheet whose turn and clearances contradict each other is told on the job sheet")
    {
        Seen             seen(job_of({{"BLOCK"}}));
        engine::JobState state = seen.state();
        auto&            sheet = state.plan.units.at("A");
        sheet.clearance_before = engine::LengthLimits{engine::Millimetres{0.075}, engine::Millimetres{0.095}};
        sheet.clearance_after  = engine::LengthLimits{engine::Millimetres{0.035}, engine::Millimetres{0.065}};
        sheet.turn_min         = engine::Degrees{85};
        sheet.turn_max         = engine::Degrees{105};
        const auto sound       = view_of(seen.context(), state, JobSheetState{});
        CHECK(sound.check.find("agree") != std::string::npos);
        sheet.turn_min   = engine::Degrees{500};
        sheet.turn_max   = engine::Degrees{520};
        const auto wrong = view_of(seen.context(), state, JobSheetState{});
        CHECK(wrong.check != sound.check);
        CHECK(wrong.check.find(sheet.code) != std::string::npos);
    }

    TEST_CASE("the job sheet has a card a position and one for the whole, and its action names the next step")
    {
        Seen       seen(job_of({{"BLOCK"}, {"BLOCK"}}));
        const auto fresh = view_of(seen.context(), seen.state(), JobSheetState{});
        CHECK(fresh.cards.size() == 3);
        CHECK(fresh.main_title == "Start the job");
        CHECK_FALSE(fresh.notice.empty());
        seen.script.work_up_to({"clean", "A"});
        const auto begun = view_of(seen.context(), seen.state(), JobSheetState{});
        CHECK(begun.main_title == "Carry on at A");
        CHECK(begun.main_sub == "next: clean the surfaces");
        CHECK(begun.notice.empty());
    }

    TEST_CASE("a step's bar says what is still to give and can act only when nothing is")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"seat", "A"});
        const auto empty = view_of(seen.context(), seen.state(), at("seat", "A"));
        CHECK(empty.cells.size() == 5);
        CHECK(empty.main_sub == "5 things still to give");
        CHECK_FALSE(empty.main_on);
        seen.script.give_all({"seat", "A"});
        const auto full = view_of(seen.context(), seen.state(), at("seat", "A"));
        CHECK(full.main_on);
        CHECK(full.main_title == "Seat measured");
        CHECK(full.main_sub == "next: slide the unit on");
    }

    TEST_CASE("an open reading shows its limits only from the first digit on")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"seat", "A"});
        StepInHand hand = at("seat", "A");
        open_keypad(hand, seen.context(), seen.script.plan(), {"diameter", "I.across"});
        CHECK_FALSE(view_of(seen.context(), seen.state(), hand).typing_gauge.has_value());
        REQUIRE(hand.keypad.press("4"));
        CHECK(view_of(seen.context(), seen.state(), hand).typing_gauge.has_value());
    }

    TEST_CASE("a held step gives its reason in words without the sources the desk keeps")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.give_bad_seat("A");
        const auto view = view_of(seen.context(), seen.state(), at("seat", "A"));
        CHECK(view.state == engine::StepState::held);
        CHECK(view.held_because.find("outside") != std::string::npos);
        CHECK(view.held_because.find('[') == std::string::npos);
        CHECK(view.main_title == "Held: ask a supervisor");
    }

    TEST_CASE("a step held for a problem names the problem")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"clean", "A"});
        REQUIRE(seen.script.act(engine::ReportProblem{{"clean", "A"}, "part_damaged", false}));
        CHECK(view_of(seen.context(), seen.state(), at("clean", "A")).held_because == "Part damaged.");
    }

    TEST_CASE("the dial starts at nothing recorded and its action records where it stands")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"turn", "A"});
        const auto still = view_of_turn(seen.context(), seen.state(), at("turn", "A"));
        CHECK(still.from_deg == doctest::Approx(0.0));
        StepInHand hand  = at("turn", "A");
        hand.dial_deg    = 60;
        hand.dial_moved  = true;
        const auto moved = view_of_turn(seen.context(), seen.state(), hand);
        CHECK(moved.records);
        CHECK(moved.angle == "60°");
        CHECK(moved.to_go == "30° to go"); // 90 to 135 degrees on the invented sheet
    }

    TEST_CASE("a problem waits for its reason, and only the nut's steps offer to go back to zero")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"clean", "A"});
        ProblemState state{.at = {"clean", "A"}};
        const auto   open = view_of(seen.context(), seen.state(), state);
        CHECK_FALSE(open.main_on);
        CHECK(open.main_sub == "pick a reason first");
        CHECK(open.instruction == "You were about to clean the surfaces.");
        const auto zero = [](const ProblemView& view) {
            return std::any_of(view.ends.begin(), view.ends.end(),
                               [](const auto& end) { return end.first == ProblemEnd::back_to_zero; });
        };
        CHECK_FALSE(zero(open));
        state.reason = "part_damaged";
        CHECK(view_of(seen.context(), seen.state(), state).main_on);
        CHECK(zero(view_of(seen.context(), seen.state(), ProblemState{.at = {"turn", "A"}})));
    }

    TEST_CASE("a release can be signed only with decision, reason, badge and PIN")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.give_bad_seat("A");
        ReleaseState state{.at = {"seat", "A"}};
        const auto   sub = [&] { return view_of(seen.context(), seen.state(), state).main_sub; };
        CHECK(view_of(seen.context(), seen.state(), state).title == "Held: measure the seat");
        CHECK(view_of(seen.context(), seen.state(), state).supervisors.size() == 2);
        CHECK(sub() == "pick release or not");
        state.accept = true;
        CHECK(sub() == "pick the reason");
        state.reason = "within_experience";
        CHECK(sub() == "pick your badge");
        state.badge = "S-21";
        CHECK(sub() == "enter your PIN");
        CHECK_FALSE(view_of(seen.context(), seen.state(), state).main_on);
        state.pin = "2100";
        CHECK(view_of(seen.context(), seen.state(), state).main_on);
        CHECK(view_of(seen.context(), seen.state(), state).main_title == "Sign as S-21");
    }

    TEST_CASE("the record names what was read, not the step that was finished")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"slide_on", "A"});
        const auto        view = view_of(seen.context(), seen.state(), RecordState{});
        const std::string what = "A · " + support::words().say("ask.seat.diameter") + ", I across";
        CHECK(has_line(view.lines, what, "49.970 mm"));
        CHECK_FALSE(has_line(view.lines, what, "49.971 mm"));
    }

    TEST_CASE("a corrected reading keeps its old value readable, with reason and badge")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"seat", "A"});
        seen.script.give_all({"seat", "A"});
        const std::string id = seen.script.step("seat", "A").facts.reading("diameter", "I.up")->at.id;
        REQUIRE(
            seen.script.act(engine::Correct{id, support::value("49.975", engine::UnitOf::mm), "misread"}));
        const auto view  = view_of(seen.context(), seen.state(), RecordState{});
        const auto found = std::find_if(view.lines.begin(), view.lines.end(),
                                        [](const RecordLine& line) { return !line.struck.empty(); });
        REQUIRE(found != view.lines.end());
        CHECK(found->value == "49.975 mm");
        CHECK(found->old_value == "49.970 mm");
        CHECK(found->struck.find("Misread") != std::string::npos);
        CHECK(found->struck.find("F-11") != std::string::npos);
    }

    TEST_CASE("coming back tells the last thing done and the next one")
    {
        Seen seen(job_of({{"BLOCK"}}));
        seen.script.work_up_to({"seat", "A"});
        const auto view = view_of_return(seen.context(), seen.state(), std::int64_t{41} * 60'000);
        CHECK(view.away == "away 41 min");
        CHECK(view.last_title == "A · Dry and clean");
        CHECK(view.next_title == "A · Measure the seat");
        CHECK_FALSE(view.photo.empty());
        CHECK(view.main_sub == "next: measure the seat");
    }

    TEST_CASE("the kit list compares an inch instrument with a shaft in millimetres")
    {
        Seen  seen(job_of({{"BLOCK"}}));
        auto& tools   = seen.script.catalogue().instruments;
        tools["M-20"] = engine::Instrument{
            "M-20", engine::Tool::micrometer, engine::UnitOf::inch, 1, 2, 0.0001, 0.0002, "2027-03-31"};
        const auto view = view_of(seen.context(), seen.state(), KitListState{});
        const auto line = std::find_if(view.lines.begin(), view.lines.end(),
                                       [](const KitLine& one) { return one.what.starts_with("Micrometer"); });
        REQUIRE(line != view.lines.end());
        CHECK(line->what == "Micrometer · for 50 mm");
        CHECK(line->detail == "M-07, M-09, M-20");
    }

    TEST_CASE("sources in brackets stay off the fitter's glass, other brackets stay on it")
    {
        CHECK(without_sources("Outside h9 (grade from [X_1], deviation 0).") == "Outside h9.");
        CHECK(without_sources("At 0.05 mm (a loose foot) [X_1].") == "At 0.05 mm (a loose foot).");
        CHECK(without_sources("Nothing (to cut") == "Nothing (to cut");
    }
}
