// JobLedger: closing, deciding, loosening the nut, handing over, reviewing.
#include "engine/procedure/job_ledger.h"
#include "engine/procedure/names.h"
#include "engine/procedure/standing.h"

#include <algorithm>
#include <utility>

namespace engine {

Status JobLedger::take_done(const Entry& entry)
{
    const auto done = done_of(entry);
    if (!done) return done.failure();
    const auto line = entry.said.step == step_name::kIsolate ? lockable(entry) : workable(entry);
    if (!line) return line.failure();
    if ((*line)->closed()) return Unit{}; // another person's lock on a machine that is isolated already
    const auto missing = missing_of((*line)->planned->step, *(*line)->facts);
    if (!missing.empty()) return failure(Fault::refused, missing.front().first + " was not given yet");
    return close(**line, entry, *done);
}

Status JobLedger::close(Line& line, const Entry& entry, const DoneFact& done)
{
    const Assessment assessment = assessment_of(line);
    const bool       needed     = needs_decision(line.planned->step, *line.facts, assessment);
    if (line.problem_open)
        return failure(Fault::refused, "a problem was reported and nobody has decided on it");
    if (rejected(*line.facts))
        return failure(Fault::refused, "the decision was no and nothing was measured since");
    if (needed && !accepted(*line.facts)) return failure(Fault::refused, "the step was held for a decision");
    line.facts->done = signed_of(entry);
    line.deviation   = needed && (assessment.verdict != Verdict::inside || !line.planned->step.hold);
    line.closed_at   = place_;
    for (const auto& [key, value] : done.figures)
        line.facts->done_figures.push_back(key + "=" + std::to_string(value));
    return Unit{};
}

Status JobLedger::take_problem(const Entry& entry)
{
    auto problem = problem_of(entry);
    if (!problem) return problem.failure();
    const auto line = workable(entry);
    if (!line) return line.failure();
    if (problem->skip && !(*line)->planned->step.skippable)
        return failure(Fault::refused, "the step may not be skipped");
    if (rejected(*(*line)->facts))
        return failure(Fault::refused, "the decision was no; another measurement comes first");
    changed(**line, Change::other);
    (*line)->facts->problems.push_back(*std::move(problem));
    (*line)->problem_open = true;
    return Unit{};
}

Status JobLedger::take_decision(const Entry& entry)
{
    const auto decision = decision_of(entry);
    if (!decision) return decision.failure();
    const auto found = workable(entry);
    if (!found) return found.failure();
    Line&      line  = **found;
    StepFacts& facts = *line.facts;
    if (!is_supervisor(*catalogue_, entry.said.actor))
        return failure(Fault::refused, "only a supervisor decides");
    if (givers_of(facts).contains(entry.said.actor))
        return failure(Fault::refused, "nobody decides on what they gave themselves");
    if (decision->reason.empty()) return failure(Fault::bad_input, "it gives no reason");
    auto known = entry.said.refs;
    std::ranges::sort(known);
    if (!std::ranges::includes(known, ids_of(facts)))
        return failure(Fault::refused, "the step had changed since the decision was made");
    if (rejected(facts))
        return failure(Fault::refused, "the decision was no; another measurement comes first");
    const bool held = missing_of(line.planned->step, facts).empty() && undecided_need(line);
    if (!line.problem_open && !held) return failure(Fault::refused, "there was nothing to decide");

    const bool skip = line.problem_open && facts.problems.back().skip;
    facts.decisions.push_back(*decision);
    line.problem_open = false;
    if (skip && decision->accept) {
        line.skipped   = true;
        line.deviation = true;
        line.closed_at = place_;
    }
    return Unit{};
}

std::set<std::size_t> JobLedger::thrown_back_by(const std::string& pos) const
{
    std::set<std::size_t>    thrown;
    std::vector<std::size_t> todo;
    for (std::size_t at = 0; at < lines_.size(); ++at)
        if (lines_[at].planned->ref.pos == pos && lines_[at].planned->step.attempt) todo.push_back(at);
    while (!todo.empty()) {
        const std::size_t at = todo.back();
        todo.pop_back();
        if (!thrown.insert(at).second) continue;
        const std::string& from = lines_[at].planned->ref.pos;
        for (std::size_t next = 0; next < lines_.size(); ++next) {
            const std::string& to = lines_[next].planned->ref.pos;
            // One nut does not undo the other: from place to place only by way of a step of the whole job.
            if (!from.empty() && !to.empty() && from != to) continue;
            const auto& needs = lines_[next].needs;
            if (std::ranges::find(needs, at) != needs.end()) todo.push_back(next);
        }
    }
    return thrown;
}

Status JobLedger::take_back_off(const Entry& entry)
{
    const auto back_off = back_off_of(entry);
    if (!back_off) return back_off.failure();
    PositionStatus* const place = position(entry.said.pos);
    if (place == nullptr)
        return failure(Fault::not_found, "the job has no position '" + entry.said.pos + "'");
    if (attempt_said(entry) != place->attempt)
        return failure(Fault::refused, "it belongs to another attempt");
    if (job_closed()) return failure(Fault::refused, "the job was closed");

    PastAttempt past{place->attempt, signed_of(entry), back_off->reason, {}};
    bool        begun  = false;
    const auto  thrown = thrown_back_by(entry.said.pos);
    for (const std::size_t at : thrown) {
        const Line& line  = lines_[at];
        const bool  empty = ids_of(*line.facts).empty() && !line.closed();
        if (empty) continue;
        begun = begun || line.planned->ref.pos == entry.said.pos;
        past.steps.push_back(*line.facts);
    }
    if (!begun) return failure(Fault::refused, "the nut had not been brought to zero yet");
    for (const std::size_t at : thrown) {
        Line& line        = lines_[at];
        *line.facts       = StepFacts{};
        line.facts->ref   = line.planned->ref;
        line.skipped      = false;
        line.deviation    = false;
        line.problem_open = false;
        line.closed_at    = 0;
    }
    place->past.push_back(std::move(past));
    ++place->attempt;
    return Unit{};
}

Status JobLedger::take_hand_over(const Entry& entry)
{
    const auto hand_over = hand_over_of(entry);
    if (!hand_over) return hand_over.failure();
    const Person* const person = catalogue_->person(hand_over->to);
    if (person == nullptr) return failure(Fault::not_found, "badge " + hand_over->to + " is not known");
    progress_.fitter = hand_over->to;
    return Unit{};
}

Status JobLedger::take_end(const Entry& entry)
{
    const auto end = end_of(entry);
    if (!end) return end.failure();
    if (!may_end_jobs(*catalogue_, entry.said.actor))
        return failure(Fault::refused, "only a planner or a supervisor ends a job");
    if (end->reason.empty()) return failure(Fault::bad_input, "it gives no reason");
    if (progress_.ended) return failure(Fault::refused, "the job was ended already");
    progress_.ended = Progress::Ended{signed_of(entry), end->reason};
    return Unit{};
}

Status JobLedger::take_review(const Entry& entry, std::span<const Entry> before)
{
    const auto review = review_of(entry);
    if (!review) return review.failure();
    if (!is_supervisor(*catalogue_, entry.said.actor))
        return failure(Fault::refused, "only a supervisor reviews");
    const auto gave     = [&](const StepFacts& facts) { return givers_of(facts).contains(entry.said.actor); };
    bool       gave_one = std::ranges::any_of(lines_, [&](const Line& line) { return gave(*line.facts); });
    for (const PositionStatus& place : progress_.positions)
        for (const PastAttempt& past : place.past)
            gave_one = gave_one || std::ranges::any_of(past.steps, gave);
    if (gave_one) return failure(Fault::refused, "nobody reviews a record they gave readings to");
    if (review->countersigned && !job_closed()) return failure(Fault::refused, "the job was not closed yet");
    if (review->countersigned && is_returned(progress_) && !progress_.review->worked_since)
        return failure(Fault::refused, "the job was sent back and nothing was done since");
    Progress::Review shown;
    shown.at                = signed_of(entry);
    shown.countersigned     = review->countersigned;
    shown.reason            = review->reason;
    shown.covered           = review->count;
    shown.older_than_record = review->count != before.size() || review->root != root_of(before);
    progress_.review        = std::move(shown);
    return Unit{};
}

} // namespace engine
