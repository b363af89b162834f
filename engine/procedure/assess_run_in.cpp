// The run-in: temperatures by position and minute, "A.30", judged while they come in.
#include "engine/procedure/assess_parts.h"
#include "engine/running/run_in.h"

#include <algorithm>
#include <map>

namespace engine {
namespace {

struct Sample {
    double       minute = 0;
    std::int64_t mc     = 0;
    std::int64_t u      = 0;
};

using Log = std::map<std::string, std::vector<Sample>>; ///< by position letter, rising minutes

Log log_of(const AssessQuestion& question)
{
    Log log;
    for (const ReadingFact& reading : question.given.readings) {
        const Ask* const ask = ask_of(question.plan, question.step.ref, reading.ask);
        const auto       dot = reading.slot.find('.');
        if (ask == nullptr || ask->limits != "temperature" || dot == std::string::npos) continue;
        const auto minute = parse_number(std::string_view(reading.slot).substr(dot + 1));
        if (minute) log[reading.slot.substr(0, dot)].push_back({*minute, reading.value.si, reading.u_si});
    }
    for (auto& [letter, samples] : log)
        std::ranges::sort(samples, {}, &Sample::minute);
    return log;
}

/// Key of a figure of one position: "peak_a".
std::string key_for(const std::string& what, const std::string& letter)
{
    std::string key = what + "_" + letter;
    std::ranges::transform(
        key, key.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return key;
}

/// The air around the machine, read once; it stands beside the last temperature.
std::optional<Sample> air_of(const AssessQuestion& question)
{
    for (const ReadingFact& reading : question.given.readings) {
        const Ask* const ask = ask_of(question.plan, question.step.ref, reading.ask);
        if (ask != nullptr && ask->limits == "air") return Sample{0, reading.value.si, reading.u_si};
    }
    return std::nullopt;
}

struct PositionLog {
    const UnitSheet&           unit;
    const std::string&         letter;
    const std::vector<Sample>& samples;
    std::optional<Sample>      air;
    bool                       complete; ///< every reading the step asks for is there
};

void assess_position(const PositionLog& position, Assessment& assessment)
{
    const UnitSheet&        unit   = position.unit;
    const std::string&      letter = position.letter;
    std::vector<RunInPoint> series;
    std::int64_t            u = position.air ? position.air->u : 0;
    for (const Sample& sample : position.samples) {
        series.push_back({sample.minute, celsius(sample.mc), std::nullopt});
        u = std::max(u, sample.u);
    }
    if (position.air && !series.empty()) series.back().ambient = celsius(position.air->mc);
    RunInLimits limits;
    limits.limit   = unit.run_in_limit;
    limits.rise    = unit.run_in_rise;
    limits.u       = Kelvins{from_si(u, UnitOf::celsius)};
    const auto run = judge_run_in(series, limits);
    if (!run) return;
    const auto  mc   = [](double value) { return to_si(value, UnitOf::celsius); };
    const auto& name = sheet_of(unit);
    const auto  add  = [&](const std::string& what, double value, std::optional<Limits> limit) {
        assessment.figures.push_back(
              figure(key_for(what, letter), UnitOf::celsius, mc(value), u, std::move(limit)));
    };
    add("peak", run->peak.value, Limits{std::nullopt, mc(unit.run_in_limit.value), name + ", run-in limit"});
    add("level", run->level.value, std::nullopt);
    if (run->rise)
        add("rise", run->rise->value,
            Limits{std::nullopt, mc(unit.run_in_rise.value), name + ", rise over the surrounding air"});
    else if (position.complete)
        assessment.advice.push_back(letter + ": " + run->advice);
    // While readings are still to come, only what is wrong already counts; a runaway stops at once.
    if (run->verdict == Verdict::outside || position.complete)
        take_verdict(assessment, run->verdict, letter + ": " + run->sentence);
}

bool all_given(const AssessQuestion& question, const std::string& letter, std::size_t given)
{
    std::size_t asked = 0;
    for (const Ask& ask : question.step.step.asks)
        if (ask.limits == "temperature")
            asked += static_cast<std::size_t>(std::ranges::count_if(
                ask.slots, [&](const std::string& slot) { return slot.starts_with(letter + "."); }));
    return given >= asked;
}

} // namespace

void assess_run_in(const AssessQuestion& question, Assessment& assessment)
{
    const auto air = air_of(question);
    for (const auto& [letter, samples] : log_of(question)) {
        const UnitSheet* const unit = question.plan.unit(letter);
        if (unit != nullptr)
            assess_position({*unit, letter, samples, air, all_given(question, letter, samples.size())},
                            assessment);
    }
}

} // namespace engine
