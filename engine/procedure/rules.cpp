#include "engine/procedure/rules.h"

#include "engine/book/seal.h"
#include "engine/procedure/names.h"
#include "engine/procedure/standing.h"

#include <algorithm>

namespace engine {
namespace {

/// What the step waits for, best one to name: at its own position before elsewhere.
const StepRef& blocker_of(const StepStatus& step)
{
    const auto own = std::ranges::find(step.waits_for, step.ref.pos, &StepRef::pos);
    return own == step.waits_for.end() ? step.waits_for.front() : *own;
}

std::string rule_of(const Step& step, const StepRef& at, const StepRef& blocker)
{
    if (blocker.key == "isolate") return rule_id::kLockout;
    const bool elsewhere = !at.pos.empty() && !blocker.pos.empty() && at.pos != blocker.pos;
    const bool earlier   = std::ranges::any_of(step.needs, [&](const Need& need) {
        return need.step == blocker.key && need.where == Where::earlier;
    });
    return elsewhere && earlier ? rule_id::kInOrder : step.rule;
}

} // namespace

Status Rules::may_work() const
{
    const Person* const person = asked_.catalogue.person(asked_.actor);
    if (person == nullptr)
        return failure(Fault::not_found,
                       "Badge " + asked_.actor + " is not known; scan it again or ask the planner.");
    if (person->role == Role::fitter || person->role == Role::supervisor) return Unit{};
    return failure(Fault::refused, "Badge " + asked_.actor + " is " + std::string(name_of(person->role)) +
                                       "; only fitters and supervisors work on a job.");
}

Status Rules::may_decide(const std::string& pin, const std::string& what) const
{
    const Person* const person = asked_.catalogue.person(asked_.actor);
    if (person == nullptr)
        return failure(Fault::not_found,
                       "Badge " + asked_.actor + " is not known; scan it again or ask the planner.");
    if (person->role != Role::supervisor)
        return failure(Fault::refused, what + " is refused: badge " + asked_.actor + " is " +
                                           std::string(name_of(person->role)) +
                                           ", and this is a supervisor's to decide (rule 10).");
    if (person->pin_check.empty())
        return failure(Fault::refused,
                       what + " is refused: badge " + asked_.actor + " has no PIN; let the planner set one.");
    if (!pin_fits(pin, person->pin_check))
        return failure(Fault::refused, what + " is refused: " + pin_misfit(asked_.actor));
    return Unit{};
}

Result<const StepStatus*> Rules::workable(const StepRef& at) const
{
    const StepStatus* const step    = asked_.progress.step(at);
    const PlanStep* const   planned = asked_.plan.find(at);
    if (step == nullptr || planned == nullptr)
        return failure(Fault::not_found,
                       "Job " + asked_.plan.job.number + " has no step " + words_of(at) + ".");
    switch (step->state) {
    case StepState::waiting: {
        const StepRef& blocker = blocker_of(*step);
        return refusal(at, words_of(blocker) + " is not done yet", rule_of(planned->step, at, blocker));
    }
    case StepState::done:
        return refusal(at, "it is done; correct the reading that is wrong instead", rule_id::kRecord);
    case StepState::skipped:
        return refusal(at, "it was skipped by decision", rule_id::kDecision);
    case StepState::open:
    case StepState::held:
        break;
    }
    return step;
}

Result<const StepStatus*> Rules::measurable(const StepRef& at) const
{
    if (asked_.progress.closed && at.key != step_name::kFollowUp)
        return refusal(at, "the job is closed; only corrections and the follow-up are left",
                       rule_id::kRecord);
    return workable(at);
}

Result<const StepStatus*> Rules::lockable(const StepRef& at) const
{
    const StepStatus* const step = asked_.progress.step(at);
    const bool own = step != nullptr && at.key == step_name::kIsolate && step->state == StepState::done &&
                     !asked_.progress.closed && step->facts.done->actor != asked_.actor;
    if (own) return step;
    return measurable(at);
}

Result<const StepStatus*> Rules::showable(const StepRef& at) const
{
    const StepStatus* const step = asked_.progress.step(at);
    if (step != nullptr && step->state == StepState::done && is_returned(asked_.progress)) return step;
    return lockable(at);
}

Result<const Ask*> Rules::ask_at(const StepRef& at, const std::string& name, AskKind kind) const
{
    static const Ask problem_photo{.kind = AskKind::photo, .name = kProblemPhoto};
    if (kind == AskKind::photo && name == kProblemPhoto) return &problem_photo;
    const Ask* const ask = ask_named(asked_.plan.find(at)->step, name);
    if (ask == nullptr || ask->kind != kind)
        return failure(Fault::not_found, "Step " + words_of(at) + " does not ask for '" + name + "'.");
    return ask;
}

bool Rules::gave_any_fact() const
{
    const auto gave      = [this](const StepFacts& facts) { return givers_of(facts).contains(asked_.actor); };
    const auto gave_then = [&](const PositionStatus& place) {
        return std::ranges::any_of(
            place.past, [&](const PastAttempt& past) { return std::ranges::any_of(past.steps, gave); });
    };
    return std::ranges::any_of(asked_.progress.steps, gave, &StepStatus::facts) ||
           std::ranges::any_of(asked_.progress.positions, gave_then);
}

std::string pin_misfit(const std::string& badge)
{
    return "the PIN does not fit badge " + badge + ".";
}

Status allowed(const Plan& plan, const Catalogue& catalogue, const Progress& progress,
               const std::string& actor, const Act& act, const std::string& today_iso_date)
{
    if (progress.ended)
        return failure(Fault::refused, "Job " + plan.job.number + " was ended by badge " +
                                           progress.ended->at.actor + " (" + progress.ended->reason +
                                           "); nothing more is done on it.");
    return std::visit(Rules({plan, catalogue, progress, actor, today_iso_date}), act);
}

} // namespace engine
