#include "engine/base/ranges.h"
#include "engine/procedure/assess_parts.h"

#include <algorithm>
#include <array>

namespace engine {
namespace {

/// "49.972 mm"
std::string as_typed(const Entered& value)
{
    return value.text + " " + std::string(unit_symbol(value.unit));
}

/// Decimals a value of this unit is read with.
int decimals_of(UnitOf unit)
{
    switch (unit) {
    case UnitOf::mm:
        return 3;
    case UnitOf::inch:
        return 4;
    case UnitOf::thou:
    case UnitOf::um:
    case UnitOf::mm_per_s:
        return 1;
    case UnitOf::turn:
        return 2;
    default:
        return 0;
    }
}

/// A limit the value breaks has as many decimals as it takes to see that: 170 N.m beside 169.6, never 170.
std::string limit_words(const Limits& limits, UnitOf unit, std::int64_t given)
{
    const auto value = [&](std::int64_t si) {
        const bool broken = (limits.low == si && given < si) || (limits.high == si && given > si);
        if (!broken) return fixed(from_si(si, unit), decimals_of(unit));
        return shown_outside(from_si(given, unit), from_si(si, unit), decimals_of(unit)).limit;
    };
    const std::string symbol = " " + std::string(unit_symbol(unit));
    if (limits.low && limits.high) return value(*limits.low) + " to " + value(*limits.high) + symbol;
    if (limits.high) return "at most " + value(*limits.high) + symbol;
    if (limits.low) return "at least " + value(*limits.low) + symbol;
    return "no limit";
}

std::string reading_sentence(const ReadingFact& reading, Verdict verdict)
{
    std::string name = reading.ask;
    if (!reading.slot.empty()) name += " " + reading.slot;
    std::ranges::replace(name, '_', ' ');
    const std::string value  = "Reading " + name + " is " + as_typed(reading.value);
    const std::string limits = limit_words(*reading.limits, reading.value.unit, reading.value.si);
    if (verdict == Verdict::outside)
        return value + "; " + reading.limits->source + " asks for " + limits + ".";
    return value + " and may be off by " +
           fixed(from_si(reading.u_si, reading.value.unit), decimals_of(reading.value.unit)) +
           ": that does not decide between inside and outside of " + limits + " (" + reading.limits->source +
           ").";
}

/// Readings on their own, by the limits written down with them. A part that judges a rule better (the seat at
/// 20 degrees) does so itself.
void assess_readings(const AssessQuestion& question, const std::set<std::string>& judged_elsewhere,
                     Assessment& assessment)
{
    for (const ReadingFact& reading : question.given.readings) {
        const Ask* const ask = ask_of(question.plan, question.step.ref, reading.ask);
        if (ask == nullptr || !reading.limits || judged_elsewhere.contains(ask->limits)) continue;
        const Verdict verdict = verdict_of_reading(reading.value.si, reading.u_si, reading.limits);
        if (verdict != Verdict::inside) take_verdict(assessment, verdict, reading_sentence(reading, verdict));
    }
}

void assess_choices(const AssessQuestion& question, Assessment& assessment)
{
    for (const ChoiceFact& choice : question.given.choices) {
        const Ask* const ask = ask_of(question.plan, question.step.ref, choice.ask);
        if (ask == nullptr) continue;
        const auto option = std::ranges::find(ask->options, choice.option, &Option::value);
        if (option == ask->options.end() || option->goes_on) continue;
        std::string name   = choice.ask;
        std::string answer = choice.option;
        std::ranges::replace(name, '_', ' ');
        std::ranges::replace(answer, '_', ' ');
        std::string said = "The answer to '" + name;
        said.append("' at ").append(place_of(question.step.ref)).append(" is '").append(answer);
        said.append("'; put it right and answer again, or ask for a decision.");
        take_verdict(assessment, Verdict::outside, said);
    }
}

std::set<std::string> rules_of(const PlanStep& step)
{
    std::set<std::string> rules;
    for (const Ask& ask : step.step.asks)
        if (ask.kind == AskKind::reading && !ask.limits.empty()) rules.insert(ask.limits);
    return rules;
}

struct PartRow {
    std::string_view rule; ///< a step with an ask of this rule is looked at by
    void (*part)(const AssessQuestion&, Assessment&);
    bool judges_readings; ///< the part judges the readings of this rule itself
};

void assess_turn_step(const AssessQuestion& question, Assessment& assessment)
{
    const auto angle = angle_under(question.plan, question.facts, question.step.ref.pos, "turn");
    if (angle) assess_turned(question, *angle, assessment);
}

constexpr std::array kParts{
    PartRow{"seat", assess_seat, true},
    PartRow{"shim", assess_shims, false},
    PartRow{"turn", assess_turn_step, false},
    PartRow{"tab", assess_lock, true},
    PartRow{"clearance_after", assess_clearance_after, false},
    PartRow{"gap_each", assess_centre, false},
    PartRow{"offset", assess_align, false},
    PartRow{"slope", assess_align, false},
    PartRow{"temperature", assess_run_in, false},
};

} // namespace

void take_verdict(Assessment& assessment, Verdict verdict, const std::string& sentence)
{
    const Verdict before = assessment.verdict;
    assessment.verdict   = worst(before, verdict);
    if (verdict != Verdict::inside && (assessment.verdict != before || assessment.sentence.empty()))
        assessment.sentence = sentence;
}

void add_figure(Assessment& assessment, Figure figure, const std::string& why)
{
    take_verdict(assessment, figure.verdict, why);
    assessment.figures.push_back(std::move(figure));
}

Assessment assess(const Plan& plan, const FactsByStep& facts, const StepRef& at)
{
    Assessment             assessment;
    const PlanStep* const  step  = plan.find(at);
    const StepFacts* const given = facts_at(facts, at);
    if (step == nullptr || given == nullptr) return assessment;

    const AssessQuestion        question{plan, facts, *step, *given, plan.unit(at.pos)};
    const std::set<std::string> rules = rules_of(*step);
    std::set<std::string>       judged;
    for (const PartRow& row : kParts)
        if (row.judges_readings && rules.contains(std::string(row.rule)))
            judged.insert(std::string(row.rule));
    assess_choices(question, assessment);
    assess_readings(question, judged, assessment);
    std::set<void (*)(const AssessQuestion&, Assessment&)> asked;
    for (const PartRow& row : kParts)
        if (rules.contains(std::string(row.rule)) && asked.insert(row.part).second)
            row.part(question, assessment);
    return assessment;
}

Assessment assess_turn(const Plan& plan, const FactsByStep& facts, const std::string& pos, Degrees angle)
{
    Assessment             assessment;
    const UnitSheet* const unit = plan.unit(pos);
    const auto             step = std::ranges::find_if(plan.steps, [&pos](const PlanStep& planned) {
        return planned.ref.pos == pos && rules_of(planned).contains("turn");
    });
    if (unit == nullptr || step == plan.steps.end()) return assessment;
    StepFacts nothing;
    nothing.ref                  = step->ref;
    const StepFacts* const given = facts_at(facts, step->ref);
    assess_turned({plan, facts, *step, given == nullptr ? nothing : *given, unit}, angle, assessment);
    return assessment;
}

} // namespace engine
