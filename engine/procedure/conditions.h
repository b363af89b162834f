#pragma once
// Conditions of the procedure's rows: which steps and asks a position of a job has. Names are listed at
// `is_condition` in plan.h.
#include "engine/procedure/plan.h"

namespace engine {

/// `letter` empty: a step of the whole job; then a condition holds when it holds for any position.
/// Reads job, units and tightening order of the plan. False for a name that is no condition.
[[nodiscard]] bool holds(const std::string& condition, const Plan& plan, const std::string& letter);
[[nodiscard]] bool all_hold(const std::vector<std::string>& conditions, const Plan& plan,
                            const std::string& letter);

} // namespace engine
