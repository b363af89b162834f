#include "engine/procedure/facts.h"

#include <algorithm>

namespace engine {
namespace {

template <class Fact> const Fact* of_ask(const std::vector<Fact>& facts, const std::string& ask)
{
    const auto found = std::ranges::find(facts, ask, &Fact::ask);
    return found == facts.end() ? nullptr : &*found;
}

} // namespace

const ReadingFact* StepFacts::reading(const std::string& ask, const std::string& slot) const
{
    const auto found = std::ranges::find_if(
        readings, [&](const ReadingFact& fact) { return fact.ask == ask && fact.slot == slot; });
    return found == readings.end() ? nullptr : &*found;
}

const ChoiceFact* StepFacts::choice(const std::string& ask) const
{
    return of_ask(choices, ask);
}

const CodeFact* StepFacts::code(const std::string& ask) const
{
    return of_ask(codes, ask);
}

bool StepFacts::has_photo(const std::string& ask) const
{
    return of_ask(photos, ask) != nullptr;
}

} // namespace engine
