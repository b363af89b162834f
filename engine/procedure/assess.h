#pragma once
// Judging: the limits of a reading, its verdict, and what a whole step comes to. Pure functions over plan and
// facts.
#include "engine/procedure/facts.h"

#include <map>

namespace engine {

using FactsByStep = std::map<StepRef, StepFacts>; ///< facts of the present attempt of each step

/// Limit rules, by the id an Ask names: seat, form, clearance_before, clearance_after, turn, tab, shim,
/// gap_each, offset, slope, soft_foot, bolt_torque, cap_torque, grease, temperature, air, vibration,
/// sleeve_travel, nut_torque. Unknown id: false.
[[nodiscard]] bool is_limit_rule(const std::string& id);

/// Limits of one reading from sheet, standard or an earlier reading; none where the ask has no rule. Source
/// says from where.
[[nodiscard]] std::optional<Limits> limits_of_reading(const Plan& plan, const FactsByStep& facts,
                                                      const StepRef& at, const std::string& ask,
                                                      const std::string& slot, UnitOf unit);

/// Expanded uncertainty (k = 2), SI integer: instrument's error limit and resolution, resolution of the typed
/// text, and for lengths the temperature of part and instrument.
[[nodiscard]] std::int64_t uncertainty_of_reading(const Entered& value, const Instrument* instrument,
                                                  std::optional<std::int64_t> part_mc);

/// ISO 14253-1: inside only if the whole interval is, outside only if the whole interval is out.
[[nodiscard]] Verdict verdict_of_reading(std::int64_t si, std::int64_t u_si,
                                         const std::optional<Limits>& limits);

struct Figure {       ///< a number worked out from readings, shown and kept with the step
    std::string  key; ///< "mean_20c", "out_of_round", "travel", "clearance_left", ... words by "figure.<key>"
    UnitOf       unit = UnitOf::mm;
    std::int64_t si = 0, u_si = 0;
    std::optional<Limits> limits;
    Verdict               verdict = Verdict::inside;
};

struct Assessment {
    Verdict                  verdict = Verdict::inside;
    std::string              sentence; ///< why it is not inside, in the fitter's words; empty when inside
    std::vector<Figure>      figures;
    std::vector<std::string> advice; ///< cross-check of sheet against physics and the like; never a verdict
};

/// What the readings given so far come to. Complete or not: figures that cannot be worked out yet are absent.
[[nodiscard]] Assessment assess(const Plan& plan, const FactsByStep& facts, const StepRef& at);

/// Live figures of the turn screen while the dial moves (nothing recorded yet).
[[nodiscard]] Assessment assess_turn(const Plan& plan, const FactsByStep& facts, const std::string& pos,
                                     Degrees angle);

} // namespace engine
