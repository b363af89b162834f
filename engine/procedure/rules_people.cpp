// Rules for decisions, hand-over and review.
#include "engine/procedure/rules.h"
#include "engine/procedure/standing.h"

#include <algorithm>

namespace engine {

Status Rules::operator()(const Decide& act) const
{
    const auto step = workable(act.at);
    if (!step) return step.failure();
    const StepFacts& facts = (*step)->facts;
    if (givers_of(facts).contains(asked_.actor))
        return refusal(act.at, "badge " + asked_.actor + " gave its readings and may not decide on them",
                       rule_id::kDecision);
    if (rejected(facts))
        return refusal(act.at, "it was decided: no; another measurement comes first", rule_id::kDecision);
    if ((*step)->state != StepState::held)
        return refusal(act.at, "there is nothing to decide", rule_id::kDecision);
    if (act.reason.empty()) return refusal(act.at, "a decision has a reason", rule_id::kDecision);
    return may_decide(act.pin, "The decision on " + words_of(act.at));
}

Status Rules::operator()(const HandOver& act) const
{
    if (const Status good = may_work(); !good) return good;
    const Person* const to = asked_.catalogue.person(act.to_badge);
    if (to == nullptr)
        return failure(Fault::not_found, "Badge " + act.to_badge + " is not known; scan it again.");
    if (to->role != Role::fitter && to->role != Role::supervisor)
        return failure(Fault::refused, "Handing over is refused: badge " + act.to_badge + " is " +
                                           std::string(name_of(to->role)) + ", not a fitter.");
    if (act.to_badge == asked_.actor)
        return failure(Fault::refused,
                       "Handing over is refused: badge " + act.to_badge + " has the job already.");
    return Unit{};
}

Status Rules::operator()(const Countersign& act) const
{
    const std::string what = "Countersigning job " + asked_.plan.job.number;
    const Progress&   now  = asked_.progress;
    if (!now.closed) return failure(Fault::refused, what + " is refused: the job is not closed yet.");
    const auto held = std::ranges::find(now.steps, StepState::held, &StepStatus::state);
    if (held != now.steps.end())
        return failure(Fault::refused, what + " is refused: " + words_of(held->ref) +
                                           " is held for a decision (rule 10); decide first.");
    if (now.review && now.review->countersigned && !now.review->older_than_record)
        return failure(Fault::refused, what + " is refused: it is countersigned and nothing came since.");
    if (is_returned(now) && !now.review->worked_since)
        return failure(
            Fault::refused,
            what + " is refused: it was sent back and nothing was done since; the fitter mends it first.");
    if (gave_any_fact())
        return failure(Fault::refused, what + " is refused: badge " + asked_.actor +
                                           " gave readings to it; another person countersigns (rule 10).");
    return may_decide(act.pin, what);
}

Status Rules::operator()(const SendBack& act) const
{
    const std::string what = "Returning job " + asked_.plan.job.number;
    if (!asked_.progress.started) return failure(Fault::refused, what + " is refused: nobody has begun it.");
    if (act.reason.empty()) return failure(Fault::refused, what + " is refused: a return has a reason.");
    if (gave_any_fact())
        return failure(Fault::refused, what + " is refused: badge " + asked_.actor +
                                           " gave readings to it; another person returns it (rule 10).");
    return may_decide(act.pin, what);
}

Status Rules::operator()(const EndJob& act) const
{
    const std::string what = "Ending job " + asked_.plan.job.number;
    if (!may_end_jobs(asked_.catalogue, asked_.actor))
        return failure(Fault::refused, what + " is refused: badge " + asked_.actor +
                                           " is no planner and no supervisor of this plant.");
    if (act.reason.empty()) return failure(Fault::refused, what + " is refused: it needs a reason.");
    if (asked_.progress.closed)
        return failure(Fault::refused, what + " is refused: its work is closed; countersign or return it.");
    return Unit{};
}

} // namespace engine
