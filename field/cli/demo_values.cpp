#include "field/cli/demo_values.h"

#include "engine/fit/locktab.h"
#include "engine/procedure/assess.h"

#include <algorithm>
#include <cmath>

namespace field::cli {
namespace {

using engine::Ask;
using engine::Entered;
using engine::failure;
using engine::Fault;
using engine::Result;
using engine::UnitOf;

struct Wanted : DemoQuestion { ///< a reading on its way: what for, and what it is to be
    UnitOf                   unit;
    const engine::UnitSheet* sheet;
};

bool planted(const Wanted& wanted, DemoFault::Kind kind)
{
    return wanted.fault.kind == kind && wanted.fault.pos == wanted.at.pos;
}

std::optional<engine::Limits> limits_for(const Wanted& wanted)
{
    return engine::limits_of_reading(wanted.state.plan, wanted.state.progress.facts(), wanted.at,
                                     wanted.ask.name, wanted.slot, wanted.unit);
}

/// A place between the limits of a reading: 0 at the low one, 1 at the high one.
std::optional<double> between_limits(const Wanted& wanted, double share)
{
    const auto limits = limits_for(wanted);
    if (!limits || !limits->low || !limits->high) return std::nullopt;
    const double low  = engine::from_si(*limits->low, wanted.unit);
    const double high = engine::from_si(*limits->high, wanted.unit);
    return low + share * (high - low);
}

double seat_diameter(const Wanted& wanted, DemoDice& dice)
{
    const bool   near = planted(wanted, DemoFault::Kind::seat_undecided);
    const double mid  = between_limits(wanted, near ? 0.97 : 0.5).value_or(0.0);
    return mid + dice.between(-0.0006, 0.0006);
}

double turned(const Wanted& wanted, DemoDice& dice)
{
    if (wanted.sheet == nullptr) return 0.0;
    if (planted(wanted, DemoFault::Kind::turn_over)) return wanted.sheet->turn_max.value + 8.0;
    const double mid  = (wanted.sheet->turn_min.value + wanted.sheet->turn_max.value) / 2.0;
    const auto   step = engine::lock_step(wanted.sheet->slots, wanted.sheet->tangs);
    const double last = wanted.sheet->turn_max.value - (step ? step->value : 10.0);
    return std::min(last, mid + dice.between(-3.0, 3.0));
}

std::optional<double> already_turned(const Wanted& wanted)
{
    const auto* position = wanted.state.progress.position(wanted.at.pos);
    if (position == nullptr || !position->turned) return std::nullopt;
    return position->turned->value;
}

double tab_extra(const Wanted& wanted, DemoDice& dice)
{
    if (wanted.sheet == nullptr) return 0.0;
    const auto   step = engine::lock_step(wanted.sheet->slots, wanted.sheet->tangs);
    const double room = wanted.sheet->turn_max.value - already_turned(wanted).value_or(0.0);
    return std::max(0.0, std::min(dice.between(0.0, step ? step->value : 5.0), room));
}

double travel(const Wanted& wanted)
{
    if (wanted.sheet == nullptr) return 0.0;
    // Asked in the same step as the turn, so the turn may be there already.
    const engine::StepStatus* const  step = wanted.state.progress.step(wanted.at);
    const engine::ReadingFact* const turn = step == nullptr ? nullptr : step->facts.reading("turn");
    const double mid = (wanted.sheet->turn_min.value + wanted.sheet->turn_max.value) / 2.0;
    const double deg = turn == nullptr ? mid : engine::from_si(turn->value.si, UnitOf::deg);
    return (engine::to_turns(engine::Degrees{deg}) * wanted.sheet->pitch).value;
}

/// "A.30": what a healthy housing shows half an hour after the start, or the planted peak.
double temperature(const Wanted& wanted, DemoDice& dice)
{
    const auto        dot    = wanted.slot.find('.');
    const double      minute = dot == std::string::npos ? 240.0 : std::stod(wanted.slot.substr(dot + 1));
    const std::string letter = wanted.slot.substr(0, dot);
    constexpr double  kStart = 21.0;
    constexpr double  kTau   = 24.0; // minutes
    const double      rise   = 24.0 * (1.0 - std::exp(-minute / kTau)) + dice.between(-0.1, 0.1);
    const bool        peak = wanted.fault.kind == DemoFault::Kind::run_in_peak && wanted.fault.pos == letter;
    if (peak && minute == 60.0) return 96.0;
    return kStart + rise;
}

double gap(const Wanted& wanted)
{
    const auto limits = limits_for(wanted);
    if (!limits || !limits->low || !limits->high || wanted.sheet == nullptr || !wanted.sheet->float_total)
        return 0.0;
    // Off the middle by the growth to come, whichever side this is.
    const double middle = wanted.sheet->float_total->value / 2.0;
    const double growth = engine::from_si(*limits->low, UnitOf::mm);
    const double room   = wanted.sheet->float_total->value - engine::from_si(*limits->high, UnitOf::mm);
    return middle + growth - room;
}

double value_of(const Wanted& wanted, DemoDice& dice)
{
    const std::string& rule = wanted.ask.limits;
    if (rule == "seat") return seat_diameter(wanted, dice);
    if (rule == "turn") return turned(wanted, dice);
    if (rule == "tab") return tab_extra(wanted, dice);
    if (rule == "sleeve_travel") return travel(wanted);
    if (rule == "temperature") return temperature(wanted, dice);
    if (rule == "gap_each") return gap(wanted);
    if (rule == "offset") return dice.between(1.0, 4.0);
    if (rule == "soft_foot") return 0.03;
    if (rule == "vibration") return dice.between(0.9, 1.6);
    if (rule == "nut_torque") return dice.between(150.0, 170.0);
    if (rule == "clearance_after") return between_limits(wanted, 0.5).value_or(0.05);
    if (const auto middle = between_limits(wanted, 0.5)) return *middle;
    if (wanted.unit == UnitOf::celsius) return dice.between(20.0, 22.0);
    if (wanted.unit == UnitOf::hour) return dice.between(9000.0, 26000.0);
    return 1.0;
}

int decimals_for(const Wanted& wanted)
{
    const std::string& rule = wanted.ask.limits;
    if (rule == "sleeve_travel" || rule == "gap_each" || rule == "soft_foot") return 2;
    switch (wanted.unit) {
    case UnitOf::mm:
        return rule == "offset" ? 1 : 3;
    case UnitOf::inch:
        return 4;
    case UnitOf::celsius:
        return 1;
    case UnitOf::mm_per_s:
        return 2;
    default:
        return 0;
    }
}

/// The plant's instrument whose range holds the value and whose calibration lasts longest; the finer one when
/// two last as long.
const engine::Instrument* instrument_for(const engine::Catalogue& plant, engine::Tool tool, UnitOf unit,
                                         double value)
{
    const engine::Instrument* best = nullptr;
    for (const auto& [tag, instrument] : plant.instruments) {
        if (instrument.tool != tool || instrument.unit != unit) continue;
        if (value < instrument.low || value > instrument.high) continue;
        const bool better = best == nullptr || instrument.error_limit < best->error_limit ||
                            (!(best->error_limit < instrument.error_limit) &&
                             instrument.calibration_due > best->calibration_due);
        if (better) best = &instrument;
    }
    return best;
}

} // namespace

double DemoDice::between(double low, double high)
{
    // By hand: the library's distributions differ from one library to the next.
    return low + (high - low) * (static_cast<double>(engine_()) / 4294967296.0);
}

int DemoDice::whole(int low, int high)
{
    return low + static_cast<int>(between(0.0, static_cast<double>(high - low + 1)));
}

bool DemoDice::chance(double share)
{
    return between(0.0, 1.0) < share;
}

Result<DemoReading> demo_reading(const DemoQuestion& question, const engine::Catalogue& plant, DemoDice& dice)
{
    const Ask&   ask  = question.ask;
    const UnitOf unit = ask.units.empty() ? UnitOf::count : ask.units.front();
    const Wanted wanted{question, unit, question.state.plan.unit(question.at.pos)};
    const double value   = value_of(wanted, dice);
    const auto   entered = engine::enter(engine::fixed(value, decimals_for(wanted)), unit);
    if (!entered) return entered.failure();
    DemoReading reading{*entered, {}, {}};
    if (ask.tool) {
        const engine::Instrument* const tool = instrument_for(plant, *ask.tool, unit, value);
        if (tool == nullptr)
            return failure(Fault::not_found,
                           "The demo plant has no " + std::string(engine::name_of(*ask.tool)) + " for " +
                               entered->text + " " + std::string(engine::unit_symbol(unit)) + ".");
        reading.tool = tool->tag;
        if (ask.limits == "seat") reading.part_mc = engine::to_si(20.5, UnitOf::celsius);
    }
    return reading;
}

} // namespace field::cli
