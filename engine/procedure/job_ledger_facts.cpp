// JobLedger: what is measured, chosen, read and photographed, and what is corrected.
#include "engine/procedure/job_ledger.h"
#include "engine/procedure/names.h"
#include "engine/procedure/standing.h"

#include <algorithm>
#include <utility>

namespace engine {
namespace {

/// Takes the place of the one given for the same ask, or is the first.
template <class Fact> void replace(std::vector<Fact>& facts, Fact fact)
{
    const auto old = std::ranges::find(facts, fact.ask, &Fact::ask);
    if (old == facts.end())
        facts.push_back(std::move(fact));
    else
        *old = std::move(fact);
}

Status check_value(const ReadingFact& fact, const Ask& ask)
{
    if (std::ranges::find(ask.units, fact.value.unit) == ask.units.end())
        return failure(Fault::bad_input,
                       "the step does not take the unit " + std::string(unit_symbol(fact.value.unit)));
    if (fact.verdict != verdict_of_reading(fact.value.si, fact.u_si, fact.limits))
        return failure(Fault::bad_input, "its verdict is not what value and limits say");
    return Unit{};
}

} // namespace

Status JobLedger::take_reading(const Entry& entry)
{
    auto fact = reading_of(entry);
    if (!fact) return fact.failure();
    const auto line = measurable(entry);
    if (!line) return line.failure();
    const auto ask = ask_of(**line, fact->ask, AskKind::reading);
    if (!ask) return ask.failure();
    if (std::ranges::find((*ask)->slots, fact->slot) == (*ask)->slots.end())
        return failure(Fault::not_found, "the step has no place '" + fact->slot + "' for " + fact->ask);
    if (const Status good = check_value(*fact, **ask); !good) return good;
    if ((*ask)->limits == step_name::kTabRule && fact->value.si < 0)
        return failure(Fault::refused, "the nut is never turned back to meet a slot");

    StepFacts& facts = *(*line)->facts;
    const auto old   = std::ranges::find_if(facts.readings, [&](const ReadingFact& given) {
        return given.ask == fact->ask && given.slot == fact->slot;
    });
    if (old != facts.readings.end()) {
        if ((*ask)->limits == step_name::kTurnRule && fact->value.si < old->value.si)
            return failure(Fault::refused, "the nut angle never decreases; a nut turned back is a back-off");
        facts.repeats.push_back(std::exchange(*old, *std::move(fact)));
    } else {
        facts.readings.push_back(*std::move(fact));
    }
    changed(**line, Change::measured);
    return Unit{};
}

Status JobLedger::take_choice(const Entry& entry)
{
    auto fact = choice_of(entry);
    if (!fact) return fact.failure();
    const auto line = measurable(entry);
    if (!line) return line.failure();
    const auto ask = ask_of(**line, fact->ask, AskKind::choice);
    if (!ask) return ask.failure();
    const auto option = std::ranges::find((*ask)->options, fact->option, &Option::value);
    if (option == (*ask)->options.end())
        return failure(Fault::not_found, "'" + fact->option + "' is not offered for " + fact->ask);
    fact->goes_on = option->goes_on;
    replace((*line)->facts->choices, *std::move(fact));
    changed(**line, Change::measured);
    return Unit{};
}

Status JobLedger::take_code(const Entry& entry)
{
    auto fact = code_of(entry);
    if (!fact) return fact.failure();
    const auto line = lockable(entry);
    if (!line) return line.failure();
    if (const auto ask = ask_of(**line, fact->ask, AskKind::code); !ask) return ask.failure();
    auto&      codes   = (*line)->facts->codes;
    const bool locking = entry.said.step == step_name::kIsolate;
    // Everybody's lock stays in the record; elsewhere the newest answer takes the place of the one before.
    const auto old = std::ranges::find_if(codes, [&](const CodeFact& given) {
        return given.ask == fact->ask && (!locking || given.at.actor == fact->at.actor);
    });
    if (old == codes.end())
        codes.push_back(*std::move(fact));
    else
        *old = *std::move(fact);
    if (!(*line)->closed()) changed(**line, change_by_proof(**line));
    return Unit{};
}

Status JobLedger::take_photo(const Entry& entry)
{
    auto fact = photo_of(entry);
    if (!fact) return fact.failure();
    const auto line = showable(entry);
    if (!line) return line.failure();
    if (const auto ask = ask_of(**line, fact->ask, AskKind::photo); !ask) return ask.failure();
    (*line)->facts->photos.push_back(*std::move(fact));
    if (!(*line)->closed()) changed(**line, change_by_proof(**line));
    return Unit{};
}

Status JobLedger::take_correction(const Entry& entry)
{
    const auto correction = correction_of(entry);
    if (!correction) return correction.failure();
    if (correction->reason.empty()) return failure(Fault::bad_input, "it gives no reason");
    for (Line& line : lines_) {
        auto&      readings = line.facts->readings;
        const auto target   = std::ranges::find(readings, correction->target,
                                                [](const ReadingFact& fact) { return fact.at.id; });
        if (target == readings.end()) continue;
        const auto ask = ask_of(line, target->ask, AskKind::reading);
        if (!ask) return ask.failure();
        if (const Status good = check_value(correction->value, **ask); !good) return good;
        strike(line, *target, *correction);
        return Unit{};
    }
    return failure(Fault::not_found, "the reading it corrects is not among the present readings of the job");
}

/// A closed step whose value no longer holds is open again: held until somebody decides.
void JobLedger::strike(Line& line, ReadingFact& reading, const CorrectionFact& correction)
{
    const auto unsound = [this](const Line& other) { return other.closed() && undecided_need(other); };
    std::vector<const Line*> unsound_before;
    for (const Line& other : lines_)
        if (unsound(other)) unsound_before.push_back(&other);

    reading.struck.push_back(
        {correction.value.at, reading.value.text, reading.value.unit, correction.reason});
    reading.value   = correction.value.value;
    reading.limits  = correction.value.limits;
    reading.u_si    = correction.value.u_si;
    reading.verdict = correction.value.verdict;
    changed(line, Change::measured);

    for (Line& other : lines_) {
        if (other.skipped || !unsound(other)) continue;
        if (std::ranges::find(unsound_before, &other) != unsound_before.end()) continue;
        other.facts->done.reset();
        other.facts->done_figures.clear();
        other.deviation = false;
        other.closed_at = 0;
    }
}

} // namespace engine
