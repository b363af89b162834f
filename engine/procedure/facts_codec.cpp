// Facts into entry bodies. The way back is in facts_decode.cpp.
#include "engine/procedure/facts_codec.h"

#include "engine/book/photos.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cctype>
#include <utility>

namespace engine {
namespace {

using nlohmann::json;

Draft draft(const About& about, const char* kind, json body)
{
    Draft made;
    made.actor = about.actor;
    made.kind  = kind;
    made.job   = about.job;
    made.pos   = about.at.pos;
    made.step  = about.at.key;
    made.body  = std::make_shared<const json>(std::move(body));
    return made;
}

void put(json& body, const char* key, const std::string& text)
{
    if (!text.empty()) body[key] = text;
}

void put(json& body, const char* key, const std::optional<std::int64_t>& number)
{
    if (number) body[key] = *number;
}

void put_value(json& body, const ReadingFact& fact)
{
    body["text"]    = fact.value.text;
    body["unit"]    = std::string(unit_symbol(fact.value.unit));
    body["si"]      = fact.value.si;
    body["si_unit"] = std::string(si_unit(fact.value.unit));
    body["verdict"] = std::string(name_of(fact.verdict));
    if (fact.u_si != 0) {
        body["u_si"] = fact.u_si;
        body["k"]    = 2;
    }
    if (!fact.limits) return;
    put(body, "lo", fact.limits->low);
    put(body, "hi", fact.limits->high);
    body["src"] = fact.limits->source;
}

} // namespace

Draft draft_of(const About& about, const ReadingFact& fact)
{
    json body{{"ask", fact.ask}, {"attempt", about.attempt}};
    put_value(body, fact);
    put(body, "slot", fact.slot);
    put(body, "tool", fact.tool);
    put(body, "part_mc", fact.part_mc);
    put(body, "via", fact.via);
    return draft(about, kind::reading, std::move(body));
}

Draft draft_of(const About& about, const ChoiceFact& fact)
{
    return draft(about, kind::choice,
                 {{"ask", fact.ask}, {"option", fact.option}, {"attempt", about.attempt}});
}

Draft draft_of(const About& about, const CodeFact& fact)
{
    json body{{"ask", fact.ask}, {"text", fact.text}, {"attempt", about.attempt}};
    put(body, "via", fact.via);
    return draft(about, kind::code, std::move(body));
}

Draft draft_of(const About& about, const PhotoFact& fact, const PhotoInfo& info)
{
    json body{{"ask", fact.ask},  {"sha256", fact.sha256}, {"w", info.width},
              {"h", info.height}, {"bytes", info.bytes},   {"attempt", about.attempt}};
    put(body, "source", fact.source);
    return draft(about, kind::photo, std::move(body));
}

Draft draft_of(const About& about, const DoneFact& fact)
{
    json figures = json::object();
    for (const auto& [key, value] : fact.figures)
        figures[key] = value;
    return draft(about, kind::done,
                 {{"procedure", fact.procedure},
                  {"figures", std::move(figures)},
                  {"verdict", std::string(name_of(fact.verdict))},
                  {"deviation", fact.deviation},
                  {"attempt", about.attempt}});
}

Draft draft_of(const About& about, const DeviationFact& fact)
{
    return draft(about, kind::problem,
                 {{"reason", fact.reason}, {"skip", fact.skip}, {"attempt", about.attempt}});
}

Draft draft_of(const About& about, const DecisionFact& fact, std::vector<std::string> decided_on)
{
    Draft made = draft(about, kind::decision,
                       {{"accept", fact.accept}, {"reason", fact.reason}, {"attempt", about.attempt}});
    made.refs  = std::move(decided_on);
    return made;
}

Draft draft_of(const About& about, const BackOffFact& fact)
{
    About of_position  = about;
    of_position.at.key = {};
    return draft(of_position, kind::back_off, {{"reason", fact.reason}, {"attempt", about.attempt}});
}

Draft draft_of(const About& about, const CorrectionFact& fact)
{
    json body{{"reason", fact.reason}};
    put_value(body, fact.value);
    Draft made = draft(about, kind::correction, std::move(body));
    made.refs  = {fact.target};
    return made;
}

Draft draft_of(const About& about, const HandOverFact& fact)
{
    return draft(about, kind::handover, {{"to", fact.to}});
}

Draft draft_of(const About& about, const ReviewFact& fact)
{
    json body{{"count", fact.count}, {"root", fact.root}};
    put(body, "reason", fact.reason);
    return draft(about, fact.countersigned ? kind::countersign : kind::job_return, std::move(body));
}

Draft draft_of(const About& about, const EndFact& fact)
{
    return draft(about, kind::job_end, {{"reason", fact.reason}});
}

std::vector<std::string> ids_of(const StepFacts& facts)
{
    std::vector<std::string> ids;
    for (const ReadingFact& fact : facts.readings) {
        ids.push_back(fact.at.id);
        for (const Struck& struck : fact.struck)
            ids.push_back(struck.by.id);
    }
    for (const ChoiceFact& fact : facts.choices)
        ids.push_back(fact.at.id);
    for (const CodeFact& fact : facts.codes)
        ids.push_back(fact.at.id);
    for (const PhotoFact& fact : facts.photos)
        ids.push_back(fact.at.id);
    for (const DeviationFact& fact : facts.problems)
        ids.push_back(fact.at.id);
    std::ranges::sort(ids);
    return ids;
}

std::string root_of(std::span<const Entry> entries)
{
    std::string all;
    for (const Entry& entry : entries)
        all += entry.id + "\n";
    return hex(sha256(all));
}

std::map<std::string, std::int64_t> kept_figures(const Assessment& assessment)
{
    std::map<std::string, std::int64_t> kept;
    for (const Figure& figure : assessment.figures) {
        std::string unit(si_unit(figure.unit));
        std::ranges::transform(unit, unit.begin(),
                               [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        kept[figure.key + "_" + unit] = figure.si;
    }
    return kept;
}

} // namespace engine
