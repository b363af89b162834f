#include "engine/procedure/fit_at.h"

#include "engine/fit/sheet_check.h"

#include <algorithm>

namespace engine {
namespace {

constexpr Degrees kMarkReading{1.0}; ///< standard; a mark against the dial, within 2 degrees: common practice

// Least standard uncertainties where none was stated with the reading: half a feeler step, a rule on the
// thread, a torque wrench of 4 % (its limit in ISO 6789-1, from memory) taken as rectangular.
constexpr Millimetres kFeeler{0.005}, kThreadRule{0.1};
constexpr double      kWrenchShare = 0.04 / 1.732;

/// The record keeps expanded uncertainties (k = 2).
std::optional<Read<Millimetres>> length_read(const ReadingFact* fact, Millimetres at_least)
{
    if (fact == nullptr) return std::nullopt;
    const double u = from_si(fact->u_si, UnitOf::mm) / 2;
    return Read<Millimetres>{Millimetres{from_si(fact->value.si, UnitOf::mm)},
                             Millimetres{fact->u_si > 0 ? u : at_least.value}};
}

std::string words_of(std::string_view name)
{
    std::string words(name == "zero" ? "zero as it was found" : name);
    std::ranges::replace(words, '_', ' ');
    return words;
}

} // namespace

std::optional<FitEstimate> fit_at(const Plan& plan, const FactsByStep& facts, const std::string& pos,
                                  Degrees angle, FeelersAfter after)
{
    const UnitSheet* const unit = plan.unit(pos);
    if (unit == nullptr) return std::nullopt;
    const auto read = [&](const char* rule) { return reading_under(plan, facts, pos, rule); };

    FitReadings readings;
    readings.angle            = Read<Degrees>{angle, kMarkReading};
    readings.sleeve_travel    = length_read(read("sleeve_travel"), kThreadRule);
    readings.clearance_before = length_read(read("clearance_before"), kFeeler);
    if (after == FeelersAfter::taken_in)
        readings.clearance_after = length_read(read("clearance_after"), kFeeler);
    if (const ReadingFact* const torque = read("nut_torque"); torque != nullptr) {
        const double value  = from_si(torque->value.si, UnitOf::newton_metre);
        readings.nut_torque = Read<NewtonMetres>{NewtonMetres{value}, NewtonMetres{value * kWrenchShare}};
    }
    if (unit->clearance_before) {
        readings.delivered_low  = unit->clearance_before->low;
        readings.delivered_high = unit->clearance_before->high;
    }
    if (unit->clearance_after) {
        readings.left_low  = unit->clearance_after->low;
        readings.left_high = unit->clearance_after->high;
    }
    auto estimate = estimate_fit(taper_of(*unit), readings);
    if (!estimate) return std::nullopt;
    return *std::move(estimate);
}

std::string misfit_sentence(const FitEstimate& estimate)
{
    if (estimate.misfit.empty()) return {};
    std::string sentence = "The " + words_of(estimate.misfit) + " does not fit what else was read";
    for (std::size_t i = 0; i < estimate.or_else.size(); ++i)
        sentence.append(i == 0 ? "; it may as well be the " : " or the ")
            .append(words_of(estimate.or_else[i]));
    return sentence + ". Read it again.";
}

} // namespace engine
