#pragma once
// Each limit rule as a function of the sheet and of what was read before. limits_of_reading looks them up by
// the id an ask names.
#include "engine/procedure/assess.h"

namespace engine {

struct LimitQuestion {
    const Plan&        plan;
    const FactsByStep& facts;
    const StepRef&     at;
    const UnitSheet&   unit; ///< of the position; of the first position for a step of the whole job
    const std::string& ask;
    const std::string& slot;
};

using LimitRule = std::optional<Limits> (*)(const LimitQuestion&);

/// Null for an id that is no rule.
[[nodiscard]] LimitRule limit_rule(std::string_view id);

// Rules of the line as a whole (limits_line.cpp).
[[nodiscard]] std::optional<Limits> gap_each_limits(const LimitQuestion& question);
[[nodiscard]] std::optional<Limits> offset_limits(const LimitQuestion& question);
[[nodiscard]] std::optional<Limits> slope_limits(const LimitQuestion& question);
[[nodiscard]] std::optional<Limits> vibration_limits(const LimitQuestion& question);

// Limits that come with no number of the sheet. Each is common practice of the trade, not a standard.
inline constexpr Millimetres kShimTolerance{0.05};    ///< either way, of a shim pack as measured
inline constexpr Millimetres kSoftFootGap{0.05};      ///< largest feeler that may enter under a loose foot
inline constexpr double      kGreaseTolerance = 0.10; ///< of the sheet's first fill, either way

/// Either way of the sheet's torque: what ISO 6789 allows an indicating wrench above 10 N.m (from memory).
inline constexpr double kWrenchTolerance = 0.06;

} // namespace engine
