#include "engine/procedure/standing.h"

#include "engine/procedure/names.h"

#include <algorithm>

namespace engine {
namespace {

bool is_given(const Ask& ask, const std::string& slot, const StepFacts& facts)
{
    switch (ask.kind) {
    case AskKind::reading:
        return facts.reading(ask.name, slot) != nullptr;
    case AskKind::choice:
        return facts.choice(ask.name) != nullptr;
    case AskKind::photo:
        return facts.has_photo(ask.name);
    case AskKind::code:
        return facts.code(ask.name) != nullptr;
    }
    return false;
}

} // namespace

std::vector<std::pair<std::string, std::string>> missing_of(const Step& step, const StepFacts& facts)
{
    std::vector<std::pair<std::string, std::string>> missing;
    for (const Ask& ask : step.asks)
        for (const std::string& slot : ask.slots)
            if (!ask.optional && !is_given(ask, slot, facts)) missing.emplace_back(ask.name, slot);
    return missing;
}

bool turn_was_lowered(const Step& step, const StepFacts& facts)
{
    return std::ranges::any_of(facts.readings, [&](const ReadingFact& reading) {
        const Ask* const ask = ask_named(step, reading.ask);
        if (ask == nullptr || ask->limits != step_name::kTurnRule) return false;
        return std::ranges::any_of(reading.struck, [&](const Struck& struck) {
            const auto older = enter_kept(struck.text, struck.unit);
            return older && older->si > reading.value.si;
        });
    });
}

bool needs_decision(const Step& step, const StepFacts& facts, const Assessment& assessment)
{
    return step.hold || assessment.verdict != Verdict::inside || turn_was_lowered(step, facts) ||
           std::ranges::any_of(facts.choices, [](const ChoiceFact& choice) { return !choice.goes_on; });
}

bool accepted(const StepFacts& facts)
{
    return std::ranges::any_of(facts.decisions, &DecisionFact::accept);
}

bool rejected(const StepFacts& facts)
{
    return !std::ranges::all_of(facts.decisions, &DecisionFact::accept);
}

std::set<std::string> givers_of(const StepFacts& facts)
{
    std::set<std::string> badges;
    for (const auto* readings : {&facts.readings, &facts.repeats})
        for (const ReadingFact& reading : *readings) {
            badges.insert(reading.at.actor);
            for (const Struck& struck : reading.struck)
                badges.insert(struck.by.actor);
        }
    const auto add = [&](const auto& given) {
        for (const auto& fact : given)
            badges.insert(fact.at.actor);
    };
    add(facts.choices);
    add(facts.codes);
    add(facts.photos);
    add(facts.problems);
    return badges;
}

const Ask* ask_named(const Step& step, const std::string& name)
{
    const auto found = std::ranges::find(step.asks, name, &Ask::name);
    return found == step.asks.end() ? nullptr : &*found;
}

bool is_supervisor(const Catalogue& catalogue, const std::string& badge)
{
    const Person* const person = catalogue.person(badge);
    return person != nullptr && person->role == Role::supervisor;
}

std::string words_of(const StepRef& ref)
{
    std::string words = ref.key;
    std::ranges::replace(words, '_', ' ');
    return ref.pos.empty() ? words : words + " at " + ref.pos;
}

} // namespace engine
