#include "engine/procedure/job_ledger.h"

#include "engine/procedure/names.h"
#include "engine/procedure/standing.h"

#include <algorithm>
#include <array>
#include <utility>

namespace engine {
namespace {

/// Kinds an entry with a job number may have that say nothing about its steps.
constexpr std::array<std::string_view, 8> kNotOurs{kind::job_open,  kind::genesis,    kind::unit,
                                                   kind::person,    kind::instrument, kind::witness,
                                                   kind::set_aside, kind::clock_step};

} // namespace

JobLedger::JobLedger(const Plan& plan, const Catalogue& catalogue) : plan_(&plan), catalogue_(&catalogue)
{
    for (std::size_t at = 0; at < plan.steps.size(); ++at)
        index_[plan.steps[at].ref] = at;
    for (const PlanStep& planned : plan.steps) {
        StepFacts& facts = facts_[planned.ref];
        facts.ref        = planned.ref;
        Line line;
        line.planned = &planned;
        line.facts   = &facts;
        for (const StepRef& need : planned.needs)
            line.needs.push_back(index_.at(need));
        lines_.push_back(std::move(line));
    }
    for (const Position& position : plan.job.positions) {
        PositionStatus status;
        status.letter = position.letter;
        status.serial = position.serial;
        progress_.positions.push_back(std::move(status));
    }
}

void JobLedger::take(const Entry& entry, std::span<const Entry> before)
{
    ++place_;
    if (std::ranges::find(kNotOurs, entry.said.kind) != kNotOurs.end()) return;
    if (const Status counts = by_kind(entry, before); !counts)
        progress_.complaints.push_back(counts.error().message);
    else
        seen(entry);
}

Status JobLedger::by_kind(const Entry& entry, std::span<const Entry> before)
{
    struct Row {
        std::string_view kind;
        Status (JobLedger::*take)(const Entry&);
    };
    static constexpr std::array kRows{
        Row{kind::reading, &JobLedger::take_reading},   Row{kind::choice, &JobLedger::take_choice},
        Row{kind::code, &JobLedger::take_code},         Row{kind::photo, &JobLedger::take_photo},
        Row{kind::done, &JobLedger::take_done},         Row{kind::problem, &JobLedger::take_problem},
        Row{kind::decision, &JobLedger::take_decision}, Row{kind::correction, &JobLedger::take_correction},
        Row{kind::back_off, &JobLedger::take_back_off}, Row{kind::handover, &JobLedger::take_hand_over},
        Row{kind::job_end, &JobLedger::take_end},
    };
    Status taken =
        failure(Fault::unsupported, "this program does not know the kind '" + entry.said.kind + "'");
    if (entry.said.kind == kind::countersign || entry.said.kind == kind::job_return)
        taken = take_review(entry, before);
    else if (const auto* const row = std::ranges::find(kRows, entry.said.kind, &Row::kind);
             row != kRows.end())
        taken = (this->*row->take)(entry);
    if (taken || taken.error().fault == Fault::corrupt) return taken; // the codec's sentence names the entry
    const std::string at = entry.said.step.empty() ? "" : ", " + words_of({entry.said.step, entry.said.pos});
    return failure(taken.error().fault, "Entry " + entry.id.substr(0, 12) + " of " + entry.said.actor + " (" +
                                            entry.said.kind + at +
                                            ") does not count: " + taken.error().message + ".");
}

void JobLedger::seen(const Entry& entry)
{
    auto& people = progress_.people;
    if (std::ranges::find(people, entry.said.actor) == people.end()) people.push_back(entry.said.actor);
    progress_.last_wall_ms = std::max(progress_.last_wall_ms, entry.wall_ms);
    const bool review      = entry.said.kind == kind::countersign || entry.said.kind == kind::job_return;
    if (review || entry.said.kind == kind::job_end) return;
    if (progress_.ended) ++after_end_;
    if (progress_.review) progress_.review->older_than_record = true;
    if (entry.said.kind == kind::handover) return;
    if (progress_.review) progress_.review->worked_since = true;
    if (entry.said.kind == kind::decision) return;
    progress_.started          = true;
    const Person* const person = catalogue_->person(entry.said.actor);
    if (person == nullptr || person->role == Role::fitter) progress_.fitter = entry.said.actor;
}

Result<JobLedger::Line*> JobLedger::line_of(const Entry& entry)
{
    const auto found = index_.find({entry.said.step, entry.said.pos});
    if (found == index_.end()) return failure(Fault::not_found, "the job has no such step");
    Line& line = lines_[found->second];
    if (attempt_said(entry) != attempt_at(line.planned->ref))
        return failure(Fault::refused, "it belongs to another attempt");
    return &line;
}

Result<JobLedger::Line*> JobLedger::workable(const Entry& entry)
{
    const auto line = line_of(entry);
    if (!line) return line;
    if ((*line)->closed()) return failure(Fault::refused, "the step was closed already");
    if (const auto waits = waits_for(**line); !waits.empty())
        return failure(Fault::refused, "the step waited for " + words_of(waits.front()));
    return line;
}

/// Each person at the machine puts a lock of their own on it (common practice): on a second tablet the step
/// may be closed already by the first.
Result<JobLedger::Line*> JobLedger::lockable(const Entry& entry)
{
    const auto line = line_of(entry);
    const bool own  = line && entry.said.step == step_name::kIsolate && !job_closed() && (*line)->closed() &&
                     (*line)->facts->done->actor != entry.said.actor;
    return own ? line : measurable(entry);
}

/// A record that was sent back takes new photos, whatever was closed: that is what it may have been sent back
/// for.
Result<JobLedger::Line*> JobLedger::showable(const Entry& entry)
{
    if (!is_returned(progress_)) return lockable(entry);
    const auto line = line_of(entry);
    return line && (*line)->closed() ? line : lockable(entry);
}

Result<JobLedger::Line*> JobLedger::measurable(const Entry& entry)
{
    if (job_closed() && entry.said.step != step_name::kFollowUp)
        return failure(Fault::refused, "the job was closed");
    return workable(entry);
}

Result<const Ask*> JobLedger::ask_of(const Line& line, const std::string& name, AskKind kind) const
{
    static const Ask problem_photo{.kind = AskKind::photo, .name = kProblemPhoto};
    if (kind == AskKind::photo && name == kProblemPhoto) return &problem_photo;
    const Ask* const ask = ask_named(line.planned->step, name);
    if (ask == nullptr || ask->kind != kind)
        return failure(Fault::not_found, "the step does not ask for '" + name + "'");
    return ask;
}

int JobLedger::attempt_at(const StepRef& ref) const
{
    return attempt_of(progress_, ref);
}

std::vector<StepRef> JobLedger::waits_for(const Line& line) const
{
    std::vector<StepRef>     undone;
    std::vector<bool>        looked(lines_.size(), false);
    std::vector<std::size_t> todo(line.needs.rbegin(), line.needs.rend());
    while (!todo.empty()) {
        const std::size_t at = todo.back();
        todo.pop_back();
        if (looked[at]) continue;
        looked[at] = true;
        if (!lines_[at].closed())
            undone.push_back(lines_[at].planned->ref);
        else // done, but what it stands on may have been thrown back or held again
            todo.insert(todo.end(), lines_[at].needs.rbegin(), lines_[at].needs.rend());
    }
    return undone;
}

Assessment JobLedger::assessment_of(const Line& line) const
{
    return assess(*plan_, facts_, line.planned->ref);
}

bool JobLedger::undecided_need(const Line& line) const
{
    return !accepted(*line.facts) && needs_decision(line.planned->step, *line.facts, assessment_of(line));
}

bool JobLedger::job_closed() const
{
    const auto found = index_.find({step_name::kClose, ""});
    return found != index_.end() && lines_[found->second].closed();
}

PositionStatus* JobLedger::position(const std::string& letter)
{
    const auto found = std::ranges::find(progress_.positions, letter, &PositionStatus::letter);
    return found == progress_.positions.end() ? nullptr : &*found;
}

/// Where nothing is measured or chosen, a photo or a code is what the step is about.
JobLedger::Change JobLedger::change_by_proof(const Line& line)
{
    const bool judged = std::ranges::any_of(line.planned->step.asks, [](const Ask& ask) {
        return ask.kind == AskKind::reading || ask.kind == AskKind::choice;
    });
    return judged ? Change::other : Change::measured;
}

/// A decision speaks of the facts its person saw. A refusal stands until something is measured or chosen
/// anew.
void JobLedger::changed(Line& line, Change change)
{
    std::erase_if(line.facts->decisions, [&](const DecisionFact& decision) {
        return decision.accept || change == Change::measured;
    });
    if (change == Change::measured) line.problem_open = false;
}

} // namespace engine
