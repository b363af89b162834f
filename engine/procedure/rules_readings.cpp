// Rules for what is measured, chosen, read and photographed.
#include "engine/base/ranges.h"
#include "engine/procedure/names.h"
#include "engine/procedure/rules.h"
#include "engine/procedure/standing.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace engine {
namespace {

std::string as_entered(const Entered& value)
{
    return value.text + " " + std::string(unit_symbol(value.unit));
}

struct Slip { ///< a usual slip of the hand, as a ratio
    double           ratio;
    std::string_view words;
};
constexpr std::array kSlips{Slip{10.0, "ten times"}, Slip{25.4, "25.4 times, inch against millimetre,"},
                            Slip{1000.0, "a thousand times"}};

/// How far beside the limits a value may be and still be the value meant. Common practice.
constexpr double kBeside = 0.05;

/// The slip that explains the value: it is beside the limits, and right on them when the slip is undone.
const Slip* slip_of(const Limits& limits, std::int64_t si, bool also_too_small)
{
    if (!limits.low || !limits.high || *limits.low <= 0) return nullptr;
    const double low   = static_cast<double>(*limits.low) * (1.0 - kBeside);
    const double high  = static_cast<double>(*limits.high) * (1.0 + kBeside);
    const auto   fits  = [&](double value) { return value >= low && value <= high; };
    const auto   value = static_cast<double>(si);
    if (fits(value)) return nullptr;
    const auto* const slip = std::ranges::find_if(kSlips, [&](const Slip& row) {
        return fits(value / row.ratio) || (also_too_small && fits(value * row.ratio));
    });
    return slip == kSlips.end() ? nullptr : slip;
}

bool same_dimension(UnitOf a, UnitOf b)
{
    return si_unit(a) == si_unit(b);
}

} // namespace

Status Rules::instrument_fits(const StepRef& at, const Ask& ask, const Entered& value,
                              const std::string& tag) const
{
    if (!ask.tool) return Unit{};
    const std::string kind(name_of(*ask.tool));
    if (tag.empty()) return refusal(at, "say which " + kind + " was used", rule_id::kRecord);
    const Instrument* const tool = asked_.catalogue.instrument(tag);
    if (tool == nullptr)
        return failure(Fault::not_found, "Instrument " + tag + " is not known; scan its tag again.");
    if (tool->tool != *ask.tool)
        return refusal(
            at, tag + " is a " + std::string(name_of(tool->tool)) + ", and this is read with a " + kind,
            rule_id::kRecord);
    if (!tool->retired.empty())
        return refusal(at, tag + " is retired (" + tool->retired + "); take another", rule_id::kRecord);
    if (tool->calibration_due < asked_.today)
        return refusal(at, tag + " is out of calibration since " + tool->calibration_due + "; take another",
                       rule_id::kRecord);
    if (!same_dimension(tool->unit, value.unit))
        return refusal(at, tag + " does not read " + std::string(unit_symbol(value.unit)), rule_id::kRecord);
    // A feeler that does not go in says 0; a signed offset is read by its size.
    const double size  = std::abs(from_si(value.si, tool->unit));
    const bool   none  = *ask.tool == Tool::feeler && value.si == 0;
    const double below = tool->low < 0 ? from_si(value.si, tool->unit) : size;
    if (none || (below >= tool->low && size <= tool->high)) return Unit{};
    const std::string symbol(unit_symbol(tool->unit));
    const bool        under = below < tool->low;
    const std::string low   = under ? shown_outside(below, tool->low, 2).limit : fixed(tool->low, 2);
    const std::string high  = under ? fixed(tool->high, 2) : shown_outside(size, tool->high, 2).limit;
    return failure(Fault::out_of_range, as_entered(value) + " is outside what " + tag + " can read, " + low +
                                            " to " + high + " " + symbol +
                                            "; read again or take another instrument.");
}

Status Rules::value_can_be(const StepRef& at, const Ask& ask, const std::string& slot,
                           const Entered& value) const
{
    if (std::ranges::find(ask.units, value.unit) == ask.units.end())
        return failure(Fault::bad_input, "Step " + words_of(at) + " does not take " + ask.name + " in " +
                                             std::string(unit_symbol(value.unit)) + "; use " +
                                             std::string(unit_symbol(ask.units.front())) + ".");
    const auto entered = enter(value.text, value.unit);
    if (!entered) return entered.failure();
    if (entered->si != value.si)
        return failure(Fault::bad_input,
                       "'" + value.text + "' is not the value it is said to be; enter it again.");
    if (ask.limits == step_name::kTabRule && value.si < 0)
        return refusal(at, "the nut went on by " + as_entered(value) + ", which is backwards", "tab");
    const auto limits =
        limits_of_reading(asked_.plan, asked_.progress.facts(), at, ask.name, slot, value.unit);
    if (!limits) return Unit{};
    // A nut is turned in pulls: a small angle is a beginning, not a slip.
    const bool        angle = same_dimension(value.unit, UnitOf::deg);
    const Slip* const slip  = slip_of(*limits, value.si, !angle);
    if (slip == nullptr) return Unit{};
    return failure(Fault::out_of_range, as_entered(value) + " cannot be at " + words_of(at) + ": it is " +
                                            std::string(slip->words) + " off what " + limits->source +
                                            " expects; read again and look at unit and decimal mark.");
}

Status Rules::operator()(const TakeReading& act) const
{
    if (const Status good = may_work(); !good) return good;
    const auto step = measurable(act.at);
    if (!step) return step.failure();
    const auto ask = ask_at(act.at, act.ask, AskKind::reading);
    if (!ask) return ask.failure();
    const auto& slots = (*ask)->slots;
    if (std::ranges::find(slots, act.slot) == slots.end())
        return failure(Fault::not_found,
                       "Step " + words_of(act.at) + " has no place '" + act.slot + "' for " + act.ask + ".");
    if (const Status good = value_can_be(act.at, **ask, act.slot, act.value); !good) return good;
    if (const Status good = instrument_fits(act.at, **ask, act.value, act.tool); !good) return good;
    constexpr std::array kWays{"typed", "gauge", "scan", "dial", "click"};
    if (std::find(kWays.begin(), kWays.end(), act.via) == kWays.end())
        return failure(Fault::bad_input,
                       "A reading is typed, set on the dial, clicked, or comes by gauge or scan, not by '" +
                           act.via + "'.");
    const ReadingFact* const older = (*step)->facts.reading(act.ask, act.slot);
    if ((*ask)->limits == step_name::kTurnRule && older != nullptr && act.value.si < older->value.si)
        return refusal(act.at,
                       as_entered(act.value) + " is less than the " + as_entered(older->value) +
                           " turned already; if the nut was loosened, report a back-off",
                       rule_id::kNoTurnBack);
    return Unit{};
}

Status Rules::operator()(const Correct& act) const
{
    if (const Status good = may_work(); !good) return good;
    for (const StepStatus& step : asked_.progress.steps) {
        const auto older = std::ranges::find(step.facts.readings, act.entry_id,
                                             [](const ReadingFact& fact) { return fact.at.id; });
        if (older == step.facts.readings.end()) continue;
        if (act.reason.empty()) return refusal(step.ref, "a correction says why", rule_id::kRecord);
        if (act.value.text == older->value.text && act.value.unit == older->value.unit)
            return refusal(step.ref, "the correction says what the reading says", rule_id::kRecord);
        const auto ask = ask_at(step.ref, older->ask, AskKind::reading);
        if (!ask) return ask.failure();
        if (const Status good = value_can_be(step.ref, **ask, older->slot, act.value); !good) return good;
        // The instrument was in calibration on the day of the reading; its range still binds.
        const Instrument* const tool = asked_.catalogue.instrument(older->tool);
        if (tool == nullptr) return Unit{};
        const std::string& day = tool->calibration_due;
        return Rules({asked_.plan, asked_.catalogue, asked_.progress, asked_.actor, day})
            .instrument_fits(step.ref, **ask, act.value, older->tool);
    }
    return failure(Fault::not_found, "There is no reading " + act.entry_id.substr(0, 12) +
                                         " among the present readings of job " + asked_.plan.job.number +
                                         ".");
}

Status Rules::operator()(const Choose& act) const
{
    if (const Status good = may_work(); !good) return good;
    if (const auto step = measurable(act.at); !step) return step.failure();
    const auto ask = ask_at(act.at, act.ask, AskKind::choice);
    if (!ask) return ask.failure();
    if (std::ranges::count((*ask)->options, act.option, &Option::value) == 0)
        return failure(Fault::not_found, "'" + act.option + "' is not offered for " + act.ask + " at " +
                                             words_of(act.at) + ".");
    return Unit{};
}

Status Rules::operator()(const GiveCode& act) const
{
    constexpr std::size_t kLongest = 80;
    if (const Status good = may_work(); !good) return good;
    if (const auto step = lockable(act.at); !step) return step.failure();
    if (const auto ask = ask_at(act.at, act.ask, AskKind::code); !ask) return ask.failure();
    if (act.text.find_first_not_of(" \t\r\n") == std::string::npos || act.text.size() > kLongest)
        return failure(Fault::bad_input, "The code for " + act.ask + " at " + words_of(act.at) +
                                             " is empty or longer than 80 letters; scan or type it again.");
    return Unit{};
}

Status Rules::operator()(const KeepPhoto& act) const
{
    if (const Status good = may_work(); !good) return good;
    if (const auto step = showable(act.at); !step) return step.failure();
    if (const auto ask = ask_at(act.at, act.ask, AskKind::photo); !ask) return ask.failure();
    if (act.jpeg.empty())
        return failure(Fault::bad_input, "The photo at " + words_of(act.at) + " is empty; take it again.");
    return Unit{};
}

} // namespace engine
