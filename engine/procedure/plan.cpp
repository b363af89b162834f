#include "engine/procedure/plan.h"

#include "engine/procedure/conditions.h"
#include "engine/procedure/names.h"
#include "engine/procedure/needs.h"

#include <algorithm>
#include <array>
#include <tuple>
#include <utility>

namespace engine {
namespace {

/// When the temperature of a run-in is read, minutes after the start; as far as the job's run-in lasts.
constexpr std::array kRunInMinutes{0, 15, 30, 60, 120, 240};
constexpr double     kMinutesPerHour = 60.0;

std::vector<std::string> slots_of(const Ask& ask, const Plan& plan, const std::string& letter)
{
    std::vector<std::string> slots;
    for (const std::string& slot : ask.slots) {
        if (slot == "bolts") {
            const UnitSheet* const unit = plan.unit(letter);
            for (int bolt = 1; unit != nullptr && bolt <= unit->bolts; ++bolt)
                slots.push_back(std::to_string(bolt));
        } else if (slot == "positions") {
            for (const Position& position : plan.job.positions)
                slots.push_back(position.letter);
        } else if (slot == "positions.minutes") {
            for (const int minutes : kRunInMinutes)
                for (const Position& position : plan.job.positions)
                    if (minutes <= plan.job.run_in.value * kMinutesPerHour)
                        slots.push_back(position.letter + "." + std::to_string(minutes));
        } else {
            slots.push_back(slot);
        }
    }
    return slots;
}

/// Rows between two meetings of the line (a step of the whole job, or one that waits for earlier positions)
/// form a stretch: a stretch is worked position by position, so that nobody walks for each step.
std::vector<std::size_t> stretches_of(const Procedure& procedure)
{
    std::vector<std::size_t> stretches;
    std::size_t              stretch = 0;
    bool                     was_job = false;
    for (const Step& step : procedure.steps) {
        const bool job   = step.scope == Scope::job;
        const bool meets = std::ranges::count(step.needs, Where::earlier, &Need::where) > 0;
        if (job || was_job || meets) ++stretch;
        stretches.push_back(stretch);
        was_job = job;
    }
    return stretches;
}

Step narrowed(const Step& row, const Plan& plan, const std::string& letter)
{
    Step step = row;
    std::erase_if(step.asks, [&](const Ask& ask) { return !all_hold(ask.when, plan, letter); });
    for (Ask& ask : step.asks)
        ask.slots = slots_of(ask, plan, letter);
    return step;
}

/// All steps that apply, in working order, needs not looked at yet.
std::vector<PlanStep> rows_that_apply(const Plan& plan, const Procedure& procedure)
{
    struct Placed {
        std::size_t stretch = 0, place = 0, row = 0;
        PlanStep    step;
    };
    const std::vector<std::size_t> stretches = stretches_of(procedure);
    std::vector<Placed>            placed;
    for (std::size_t row = 0; row < procedure.steps.size(); ++row) {
        const Step&                    step = procedure.steps[row];
        const std::vector<std::string> letters =
            step.scope == Scope::job ? std::vector<std::string>{""} : plan.tightening_order;
        for (std::size_t place = 0; place < letters.size(); ++place) {
            const std::string& letter = letters[place];
            if (!all_hold(step.when, plan, letter)) continue;
            placed.push_back(
                {stretches[row], place, row, PlanStep{{step.key, letter}, narrowed(step, plan, letter), {}}});
        }
    }
    std::ranges::stable_sort(placed, {}, [](const Placed& p) { return std::tie(p.stretch, p.place, p.row); });
    std::vector<PlanStep> steps;
    steps.reserve(placed.size());
    for (Placed& p : placed)
        steps.push_back(std::move(p.step));
    return steps;
}

/// Letters of the positions a need speaks of, seen from `ref`; one empty letter for a step of the job.
std::vector<std::string> letters_of(const Need& need, const StepRef& ref, const Plan& plan)
{
    const auto& order = plan.tightening_order;
    switch (need.where) {
    case Where::all:
        return order;
    case Where::earlier:
        return {order.begin(), std::ranges::find(order, ref.pos)};
    case Where::same:
        break;
    }
    return {ref.pos};
}

std::vector<StepRef> needs_of(const PlanStep& step, const Plan& plan)
{
    std::vector<StepRef> needs;
    const auto           add = [&](const StepRef& ref) {
        if (plan.find(ref) != nullptr && std::ranges::find(needs, ref) == needs.end()) needs.push_back(ref);
    };
    for (const Need& need : step.step.needs) {
        add({need.step, ""});
        for (const std::string& letter : letters_of(need, step.ref, plan))
            add({need.step, letter});
    }
    return needs;
}

Status put_in_order(Plan& plan)
{
    std::vector<std::vector<std::size_t>> needs;
    for (const PlanStep& step : plan.steps) {
        auto& row = needs.emplace_back();
        for (const StepRef& need : step.needs)
            row.push_back(static_cast<std::size_t>(plan.find(need) - plan.steps.data()));
    }
    const Sorted sorted = sort_by_needs(needs);
    if (!sorted.circle.empty())
        return failure(Fault::bad_input, "Job " + plan.job.number + ": step " +
                                             plan.steps[sorted.circle.front()].ref.key +
                                             " waits for itself; mend the needs in the procedure.");
    std::vector<PlanStep> steps;
    for (const std::size_t at : sorted.order)
        steps.push_back(std::move(plan.steps[at]));
    plan.steps = std::move(steps);
    return Unit{};
}

} // namespace

const PlanStep* Plan::find(const StepRef& ref) const
{
    const auto found = std::ranges::find(steps, ref, &PlanStep::ref);
    return found == steps.end() ? nullptr : &*found;
}

const Position* Plan::position(const std::string& letter) const
{
    const auto found = std::ranges::find(job.positions, letter, &Position::letter);
    return found == job.positions.end() ? nullptr : &*found;
}

const UnitSheet* Plan::unit(const std::string& letter) const
{
    const auto found = units.find(letter);
    return found == units.end() ? nullptr : &found->second;
}

std::optional<Moment> papers_settled(const std::vector<Entry>& entries)
{
    std::optional<Moment> settled;
    for (const Entry& entry : entries)
        if (entry.said.kind == kind::done && entry.said.step == step_name::kPapers)
            settled = Moment{entry.hlc_ms, entry.hlc_c};
    return settled;
}

Result<Plan> build_plan(const Job& job, const Catalogue& catalogue, const Procedure& procedure,
                        const std::optional<Moment>& sheets_of)
{
    const auto arrangement = arrangement_of(job, catalogue);
    if (!arrangement) return arrangement.failure();

    Plan plan;
    plan.job               = job;
    plan.arrangement       = *arrangement;
    plan.procedure_version = procedure.version;
    for (const Position& position : job.positions) {
        const UnitSheet* const sheet = sheets_of ? catalogue.unit_at(position.unit_code, *sheets_of)
                                                 : catalogue.unit(position.unit_code);
        if (position.letter.empty() || !plan.units.emplace(position.letter, *sheet).second)
            return failure(Fault::bad_input, "Job " + job.number + ": position letter '" + position.letter +
                                                 "' is empty or there twice; give each position its own.");
        plan.tightening_order.push_back(position.letter);
    }
    std::stable_partition(
        plan.tightening_order.begin(), plan.tightening_order.end(),
        [&](const std::string& letter) { return plan.position(letter)->role == Hold::fixed; });

    plan.steps = rows_that_apply(plan, procedure);
    for (PlanStep& step : plan.steps)
        step.needs = needs_of(step, plan);
    if (const Status ordered = put_in_order(plan); !ordered) return ordered.failure();
    return plan;
}

} // namespace engine
