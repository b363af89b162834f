#include "engine/procedure/progress.h"

#include "engine/procedure/job_ledger.h"
#include "engine/procedure/names.h"
#include "engine/procedure/standing.h"

#include <algorithm>
#include <utility>

namespace engine {

StepStatus JobLedger::status_of(const Line& line) const
{
    const Step& step = line.planned->step;
    StepStatus  status;
    status.ref        = line.planned->ref;
    status.facts      = *line.facts;
    status.deviation  = line.deviation;
    status.assessment = assessment_of(line);
    if (line.closed()) {
        status.state = line.skipped ? StepState::skipped : StepState::done;
        return status;
    }
    status.waits_for = waits_for(line);
    status.missing   = missing_of(step, *line.facts);
    if (!status.waits_for.empty()) return status;
    const bool undecided = needs_decision(step, *line.facts, status.assessment) && !accepted(*line.facts);
    const bool held = line.problem_open || (status.missing.empty() && (undecided || rejected(*line.facts)));
    status.state    = held ? StepState::held : StepState::open;
    if (held && status.assessment.sentence.empty() && turn_was_lowered(step, *line.facts))
        status.assessment.sentence =
            "The turn was corrected to a smaller angle; another person must look at the nut.";
    return status;
}

void JobLedger::finish_positions()
{
    for (PositionStatus& place : progress_.positions) {
        for (const Line& line : lines_) {
            if (line.planned->ref.pos != place.letter) continue;
            for (const ReadingFact& reading : line.facts->readings) {
                const Ask* const ask = ask_named(line.planned->step, reading.ask);
                if (ask != nullptr && ask->limits == step_name::kTurnRule)
                    place.turned = Degrees{from_si(reading.value.si, UnitOf::deg)};
            }
            if (line.planned->ref.key == step_name::kLock) place.locked = line.facts->done.has_value();
            const CodeFact* const serial = line.facts->code(step_name::kSerial);
            if (serial != nullptr && line.planned->ref.key == step_name::kSlideOn)
                place.serial = serial->text;
        }
    }
}

Progress JobLedger::close_books()
{
    std::size_t latest = 0;
    for (const Line& line : lines_) {
        progress_.steps.push_back(status_of(line));
        const StepStatus& status = progress_.steps.back();
        const bool        to_do  = status.state == StepState::open || status.state == StepState::held;
        if (to_do && !progress_.next) progress_.next = status.ref;
        if (line.closed_at > latest) {
            latest              = line.closed_at;
            progress_.last_done = status.ref;
        }
    }
    progress_.closed = job_closed();
    finish_positions();
    // Whoever wrote them may not have heard of it: they count, and are told.
    if (after_end_ > 0)
        progress_.complaints.push_back("The job was ended by badge " + progress_.ended->at.actor + " (" +
                                       progress_.ended->reason + "), and " + std::to_string(after_end_) +
                                       (after_end_ == 1 ? " entry was" : " entries were") +
                                       " made after that; look into it.");
    return std::move(progress_);
}

const StepStatus* Progress::step(const StepRef& ref) const
{
    const auto found = std::ranges::find(steps, ref, &StepStatus::ref);
    return found == steps.end() ? nullptr : &*found;
}

const PositionStatus* Progress::position(const std::string& letter) const
{
    const auto found = std::ranges::find(positions, letter, &PositionStatus::letter);
    return found == positions.end() ? nullptr : &*found;
}

std::size_t Progress::done_count() const
{
    return static_cast<std::size_t>(std::ranges::count_if(steps, [](const StepStatus& status) {
        return status.state == StepState::done || status.state == StepState::skipped;
    }));
}

FactsByStep Progress::facts() const
{
    FactsByStep facts;
    for (const StepStatus& status : steps)
        facts[status.ref] = status.facts;
    return facts;
}

int attempt_of(const Progress& progress, const StepRef& at)
{
    if (const PositionStatus* const place = progress.position(at.pos)) return place->attempt;
    int attempt = 1;
    for (const PositionStatus& place : progress.positions)
        attempt += place.attempt - 1;
    return attempt;
}

Progress progress_of(const Plan& plan, const Catalogue& catalogue, std::span<const Entry> entries)
{
    JobLedger ledger(plan, catalogue);
    for (std::size_t at = 0; at < entries.size(); ++at)
        ledger.take(entries[at], entries.first(at));
    return ledger.close_books();
}

} // namespace engine
