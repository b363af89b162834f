#include "engine/procedure/judged.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr double kDumPerMillimetre    = 1e4;
constexpr double kDumPerMicrometre    = 10.0;
constexpr double kThousandths         = 1e3;
constexpr double kNothingBelowLastBit = 1e-9; ///< so that 8.0000000001 is not rounded up to 9

} // namespace

const StepFacts* facts_at(const FactsByStep& facts, const StepRef& at)
{
    const auto found = facts.find(at);
    return found == facts.end() ? nullptr : &found->second;
}

const Ask* ask_of(const Plan& plan, const StepRef& at, const std::string& ask)
{
    const PlanStep* const step = plan.find(at);
    if (step == nullptr) return nullptr;
    const auto found = std::ranges::find(step->step.asks, ask, &Ask::name);
    return found == step->step.asks.end() ? nullptr : &*found;
}

const ReadingFact* reading_under(const Plan& plan, const FactsByStep& facts, const std::string& pos,
                                 std::string_view rule)
{
    for (const PlanStep& step : plan.steps) {
        if (step.ref.pos != pos) continue;
        const StepFacts* const given = facts_at(facts, step.ref);
        if (given == nullptr) continue;
        for (const Ask& ask : step.step.asks) {
            if (ask.limits != rule) continue;
            const auto found = std::ranges::find(given->readings, ask.name, &ReadingFact::ask);
            if (found != given->readings.end()) return &*found;
        }
    }
    return nullptr;
}

std::optional<Millimetres> length_under(const Plan& plan, const FactsByStep& facts, const std::string& pos,
                                        std::string_view rule)
{
    const ReadingFact* const reading = reading_under(plan, facts, pos, rule);
    if (reading == nullptr || si_unit(reading->value.unit) != si_unit(UnitOf::mm)) return std::nullopt;
    return millimetres(reading->value.si);
}

std::optional<Degrees> angle_under(const Plan& plan, const FactsByStep& facts, const std::string& pos,
                                   std::string_view rule)
{
    const ReadingFact* const reading = reading_under(plan, facts, pos, rule);
    if (reading == nullptr || si_unit(reading->value.unit) != si_unit(UnitOf::deg)) return std::nullopt;
    return degrees(reading->value.si);
}

std::optional<Celsius> part_temperature(const StepFacts& facts)
{
    for (const ReadingFact& reading : facts.readings)
        if (reading.value.unit == UnitOf::celsius) return celsius(reading.value.si);
    for (const ReadingFact& reading : facts.readings)
        if (reading.part_mc) return celsius(*reading.part_mc);
    return std::nullopt;
}

std::string sheet_of(const UnitSheet& unit)
{
    return "sheet " + unit.code + " rev " + unit.revision;
}

std::string place_of(const StepRef& at)
{
    return at.pos.empty() ? at.key : at.key + " at " + at.pos;
}

std::int64_t dum(Millimetres length)
{
    return std::llround(length.value * kDumPerMillimetre);
}

std::int64_t dum(Micrometres length)
{
    return static_cast<std::int64_t>(std::ceil(length.value * kDumPerMicrometre - kNothingBelowLastBit));
}

std::int64_t mdeg(Degrees angle)
{
    return std::llround(angle.value * kThousandths);
}

Millimetres millimetres(std::int64_t dum)
{
    return Millimetres{static_cast<double>(dum) / kDumPerMillimetre};
}

Degrees degrees(std::int64_t mdeg)
{
    return Degrees{static_cast<double>(mdeg) / kThousandths};
}

Celsius celsius(std::int64_t mc)
{
    return Celsius{static_cast<double>(mc) / kThousandths};
}

Figure figure(std::string key, UnitOf unit, std::int64_t si, std::int64_t u_si, std::optional<Limits> limits)
{
    Figure made;
    made.key     = std::move(key);
    made.unit    = unit;
    made.si      = si;
    made.u_si    = u_si;
    made.verdict = verdict_of_reading(si, u_si, limits);
    made.limits  = std::move(limits);
    return made;
}

} // namespace engine
