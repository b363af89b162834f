// Rules for closing a step, loosening a nut and reporting a problem.
#include "engine/procedure/names.h"
#include "engine/procedure/rules.h"
#include "engine/procedure/standing.h"

#include <algorithm>

namespace engine {
namespace {

/// "one reading to go: diameter II.up"
std::string still_to_give(const Step& step, const StepStatus& status)
{
    const auto& [name, slot] = status.missing.front();
    const Ask* const  ask    = ask_named(step, name);
    const std::size_t count  = status.missing.size();
    std::string       things;
    switch (ask == nullptr ? AskKind::reading : ask->kind) {
    case AskKind::reading:
        things = "reading";
        break;
    case AskKind::choice:
        things = "answer";
        break;
    case AskKind::photo:
        things = "photo";
        break;
    case AskKind::code:
        things = "code";
        break;
    }
    std::string what = name + (slot.empty() ? "" : " " + slot);
    std::ranges::replace(what, '_', ' ');
    if (count == 1) return "one " + things + " to go: " + what;
    return std::to_string(count) + " things to go, next the " + things + " " + what;
}

} // namespace

Status Rules::operator()(const CloseStep& act) const
{
    if (const Status good = may_work(); !good) return good;
    const auto found = workable(act.at);
    if (!found) return found.failure();
    const StepStatus& status = **found;
    const Step&       step   = asked_.plan.find(act.at)->step;
    if (!status.missing.empty()) return refusal(act.at, still_to_give(step, status), rule_id::kNeeds);
    if (status.state != StepState::held) return Unit{};
    if (rejected(status.facts))
        return refusal(act.at, "the decision was no; measure or answer again", rule_id::kDecision);
    std::string why = "it is held for another person's decision";
    if (!status.assessment.sentence.empty()) {
        why += "; " + status.assessment.sentence;
        why.pop_back(); // its full stop
    }
    return refusal(act.at, why, rule_id::kDecision);
}

Status Rules::operator()(const BackOff& act) const
{
    if (const Status good = may_work(); !good) return good;
    const StepRef place{"back_off", act.pos};
    if (asked_.progress.position(act.pos) == nullptr)
        return failure(Fault::not_found,
                       "Job " + asked_.plan.job.number + " has no position '" + act.pos + "'.");
    if (asked_.progress.closed)
        return refusal(place, "the job is closed; a bearing taken up again is a new job", rule_id::kRecord);
    if (act.reason.empty()) return refusal(place, "say why the nut was loosened", rule_id::kNoTurnBack);
    const bool begun = std::ranges::any_of(asked_.progress.steps, [&](const StepStatus& status) {
        if (status.ref.pos != act.pos || !asked_.plan.find(status.ref)->step.attempt) return false;
        const StepFacts& facts = status.facts;
        return facts.done || !facts.readings.empty() || !facts.choices.empty() || !facts.photos.empty() ||
               !facts.codes.empty() || !facts.problems.empty();
    });
    if (!begun) return refusal(place, "the nut has not been brought to zero yet", rule_id::kNoTurnBack);
    return Unit{};
}

Status Rules::operator()(const ReportProblem& act) const
{
    if (const Status good = may_work(); !good) return good;
    const auto step = workable(act.at);
    if (!step) return step.failure();
    if (act.reason.empty()) return refusal(act.at, "a problem has a reason", rule_id::kDecision);
    if (rejected((*step)->facts))
        return refusal(act.at, "the decision was no; measure or answer again first", rule_id::kDecision);
    if (act.skip && !asked_.plan.find(act.at)->step.skippable)
        return refusal(act.at, "this step may not be skipped", rule_id::kDecision);
    return Unit{};
}

} // namespace engine
