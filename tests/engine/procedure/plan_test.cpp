// Which steps a job has and in which order they are shown.
#include "engine/procedure/plan.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "tests/support/job_plant.h"

using namespace engine;
using support::job_of;
using support::plan_of;

namespace {

constexpr auto kLoose = Hold::expansion;

/// "A.seat", or "align" for a step of the job.
std::vector<std::string> names_of(const Plan& plan)
{
    std::vector<std::string> names;
    for (const PlanStep& step : plan.steps)
        names.push_back((step.ref.pos.empty() ? "" : step.ref.pos + ".") + step.ref.key);
    return names;
}

std::size_t place_of(const Plan& plan, const std::string& key, const std::string& pos = {})
{
    const PlanStep* const step = plan.find({key, pos});
    REQUIRE_MESSAGE(step != nullptr, pos, ".", key);
    return static_cast<std::size_t>(step - plan.steps.data());
}

bool has(const Plan& plan, const std::string& key, const std::string& pos = {})
{
    return plan.find({key, pos}) != nullptr;
}

/// Everything that is before `ref` by need, over any number of steps.
std::set<StepRef> before(const Plan& plan, const StepRef& ref)
{
    std::set<StepRef> seen;
    std::vector       todo{ref};
    while (!todo.empty()) {
        const PlanStep* const step = plan.find(todo.back());
        todo.pop_back();
        for (const StepRef& need : step->needs)
            if (seen.insert(need).second) todo.push_back(need);
    }
    return seen;
}

std::vector<Job> lines()
{
    std::vector<Job> jobs{
        job_of({{"BLOCK"}}),
        job_of({{"FLANGE"}}),
        job_of({{"FULL", kLoose}}),
        job_of({{"BLOCK"}, {"BLOCK"}}),
        job_of({{"FULL", kLoose}, {"BLOCK"}}),
        job_of({{"BLOCK"}, {"FULL", kLoose}}),
        job_of({{"FLANGE"}, {"FLANGE"}}),
        job_of({{"FULL", kLoose}, {"BLOCK"}, {"FULL", kLoose}}),
        job_of({{"FLANGE"}, {"BLOCK"}, {"FLANGE"}}),
        job_of({{"BLOCK"}, {"FLANGE"}}),
    };
    for (std::size_t at = 0, count = jobs.size(); at < count; ++at) {
        jobs.push_back(jobs[at]);
        jobs.back().old_bearing_out = true;
    }
    return jobs;
}

} // namespace

TEST_SUITE("engine/procedure/plan")
{
    TEST_CASE("the order shown puts every step after all it needs, on every line")
    {
        for (const Job& job : lines()) {
            const Plan plan = plan_of(job);
            CAPTURE(job.positions.size());
            CHECK(plan.steps.front().ref == StepRef{"isolate", ""});
            CHECK(plan.steps.front().needs.empty());
            CHECK(plan.steps.back().ref == StepRef{"follow_up", ""});
            for (std::size_t at = 0; at < plan.steps.size(); ++at) {
                CAPTURE(plan.steps[at].ref.key);
                if (at > 0) CHECK(before(plan, plan.steps[at].ref).contains(StepRef{"isolate", ""}));
                for (const StepRef& need : plan.steps[at].needs)
                    CHECK(place_of(plan, need.key, need.pos) < at);
            }
        }
    }

    TEST_CASE("nothing is left that the record's close does not wait for")
    {
        for (const Job& job : lines()) {
            const Plan plan   = plan_of(job);
            const auto needed = before(plan, {"close", ""});
            for (const PlanStep& step : plan.steps) {
                CAPTURE(step.ref.key);
                const bool after = step.ref.key == "close" || step.ref.key == "follow_up";
                CHECK(needed.contains(step.ref) != after);
            }
        }
    }

    TEST_CASE("all positions are made ready, then each nut is turned and locked, fixed before expansion")
    {
        const Plan plan = plan_of(job_of({{"FULL", kLoose}, {"BLOCK"}}));
        CHECK(plan.tightening_order == std::vector<std::string>{"B", "A"});
        const std::vector<std::string> wanted{"isolate",
                                              "papers",
                                              "kit",
                                              "weight_off",
                                              "B.clean",
                                              "B.seat",
                                              "B.slide_on",
                                              "B.bolt_loose",
                                              "A.clean",
                                              "A.seat",
                                              "A.clearance_before",
                                              "A.slide_on",
                                              "A.bolt_loose",
                                              "B.zero",
                                              "B.mark",
                                              "B.turn",
                                              "B.lock",
                                              "A.zero",
                                              "A.mark",
                                              "A.turn",
                                              "A.lock",
                                              "A.clearance_after",
                                              "A.centre",
                                              "align",
                                              "B.soft_foot",
                                              "A.soft_foot",
                                              "A.cap",
                                              "B.bolt_down",
                                              "B.grease",
                                              "A.bolt_down",
                                              "A.grease",
                                              "hand_turn",
                                              "run_in",
                                              "close",
                                              "follow_up"};
        CHECK(names_of(plan) == wanted);
    }

    TEST_CASE("positions may be made ready in any order, but nuts not")
    {
        const Plan plan = plan_of(job_of({{"BLOCK"}, {"FULL", kLoose}}));
        for (const char* const key : {"clean", "seat", "slide_on", "bolt_loose"})
            for (const StepRef& need : before(plan, {key, "B"}))
                CHECK(need.pos != "A");
        CHECK(before(plan, {"zero", "B"}).contains({"lock", "A"}));
        CHECK(before(plan, {"bolt_down", "B"}).contains({"bolt_down", "A"}));
        CHECK_FALSE(before(plan, {"zero", "A"}).contains({"seat", "B"}));
    }

    TEST_CASE("the first flange is bolted hard and locked before the second one goes to zero on its shims")
    {
        const Plan plan = plan_of(job_of({{"FLANGE"}, {"FLANGE"}}));
        CHECK(has(plan, "bolt_hard", "A"));
        CHECK_FALSE(has(plan, "bolt_hard", "B"));
        CHECK_FALSE(has(plan, "bolt_down", "A"));
        CHECK_FALSE(has(plan, "shims", "A"));
        CHECK_FALSE(has(plan, "bolt_loose", "A"));
        CHECK_FALSE(has(plan, "soft_foot", "B"));
        const auto zero = before(plan, {"zero", "B"});
        for (const StepRef& ref : {StepRef{"bolt_hard", "A"}, {"lock", "A"}, {"shims", "B"}})
            CHECK(zero.contains(ref));
        CHECK(before(plan, {"shims_out", "B"}).contains({"zero", "B"}));
        CHECK(before(plan, {"mark", "B"}).contains({"shims_out", "B"}));
        CHECK(before(plan, {"bolt_down", "B"}).contains({"lock", "B"}));
    }

    TEST_CASE("a unit alone has no pair to align")
    {
        const Plan block = plan_of(job_of({{"BLOCK"}}));
        CHECK_FALSE(has(block, "align"));
        CHECK(before(block, {"bolt_down", "A"}).contains({"lock", "A"}));
        const Plan flange = plan_of(job_of({{"FLANGE"}}));
        CHECK(has(flange, "bolt_hard", "A"));
        CHECK_FALSE(has(flange, "shims", "A"));
    }

    TEST_CASE("three positions: every nut is locked before anything is bolted down")
    {
        const Plan plan = plan_of(job_of({{"FULL", kLoose}, {"BLOCK"}, {"FULL", kLoose}}));
        CHECK(plan.tightening_order == std::vector<std::string>{"B", "A", "C"});
        for (const char* const bolted : {"A", "B", "C"})
            for (const char* const locked : {"A", "B", "C"})
                CHECK(before(plan, {"bolt_down", bolted}).contains({"lock", locked}));
        CHECK(before(plan, {"zero", "C"}).contains({"lock", "A"}));
    }

    TEST_CASE("asks are narrowed to the sheet and slots are counted out")
    {
        const Plan  plan = plan_of(job_of({{"BLOCK"}, {"FULL", kLoose}}));
        const auto& bare = plan.find({"turn", "A"})->step.asks;
        const auto& full = plan.find({"turn", "B"})->step.asks;
        CHECK(std::ranges::count(bare, AskKind::reading, &Ask::kind) == 1);
        CHECK(std::ranges::count(full, AskKind::reading, &Ask::kind) == 3);
        CHECK(plan.find({"bolt_down", "A"})->step.asks.front().slots == std::vector<std::string>{"1", "2"});
        const auto& log = plan.find({"run_in", ""})->step.asks[1].slots; // half an hour in this job
        CHECK(log == std::vector<std::string>{"A.0", "B.0", "A.15", "B.15", "A.30", "B.30"});
    }

    TEST_CASE("the old bearing is taken out only where there is one")
    {
        Job job = job_of({{"BLOCK"}});
        CHECK_FALSE(has(plan_of(job), "old_out", "A"));
        job.old_bearing_out = true;
        CHECK(before(plan_of(job), {"clean", "A"}).contains({"old_out", "A"}));
    }

    TEST_CASE("a line that cannot be planned is refused as the catalogue refuses it")
    {
        const Job  job   = job_of({{"NOBODY"}});
        const auto plan  = build_plan(job, support::plant(), support::procedure());
        const auto cause = arrangement_of(job, support::plant());
        REQUIRE_FALSE(plan);
        REQUIRE_FALSE(cause);
        CHECK(plan.error().message == cause.error().message);
        Job twice                 = job_of({{"BLOCK"}, {"BLOCK"}});
        twice.positions[1].letter = "A";
        CHECK_FALSE(build_plan(twice, support::plant(), support::procedure()));
    }

    TEST_CASE("a condition is a name of the list, with or without not")
    {
        for (const char* const name : {"pair", "not.pair", "asks.clearance_after", "not.asks.nut_torque"})
            CHECK(is_condition(name));
        for (const char* const name : {"", "pairs", "not.", "not.not.pair", "asks.", "asks.colour"})
            CHECK_FALSE(is_condition(name));
    }
}
