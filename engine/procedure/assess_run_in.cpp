// The run-in: temperatures by position and minute, "A.30", judged while they come in.
#include "engine/procedure/assess_parts.h"

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

void assess_position(const UnitSheet& unit, const std::string& letter, const std::vector<Sample>& samples,
                     Assessment& assessment)
{
    const auto   peak = *std::ranges::max_element(samples, {}, &Sample::mc);
    const Limits limit{std::nullopt, to_si(unit.run_in_limit.value, UnitOf::celsius),
                       sheet_of(unit) + ", run-in limit"};
    add_figure(assessment, figure(key_for("peak", letter), UnitOf::celsius, peak.mc, peak.u, limit),
               "Stop: " + letter + " reached " + fixed(from_si(peak.mc, UnitOf::celsius), 0) + " C; " +
                   limit.source + " is " + fixed(unit.run_in_limit.value, 0) + " C.");
    // The machine starts at the temperature of the air around it: the first reading stands for the air.
    const std::int64_t rise = peak.mc - samples.front().mc;
    const Limits       most{std::nullopt, to_si(unit.run_in_rise.value, UnitOf::celsius),
                      sheet_of(unit) + ", rise over the surrounding air"};
    add_figure(assessment, figure(key_for("rise", letter), UnitOf::celsius, rise, peak.u, most),
               "Stop: " + letter + " rose " + fixed(from_si(rise, UnitOf::celsius), 0) + " K; " +
                   most.source + " is " + fixed(unit.run_in_rise.value, 0) + " K.");
    assessment.figures.push_back(
        figure(key_for("last", letter), UnitOf::celsius, samples.back().mc, samples.back().u));
}

} // namespace

void assess_run_in(const AssessQuestion& question, Assessment& assessment)
{
    for (const auto& [letter, samples] : log_of(question)) {
        const UnitSheet* const unit = question.plan.unit(letter);
        if (unit != nullptr) assess_position(*unit, letter, samples, assessment);
    }
}

} // namespace engine
