#pragma once
// The shaft line of a job as engine/mounting wants it.
#include "engine/mounting/expansion.h"
#include "engine/procedure/plan.h"

namespace engine {

/// Growth and float at one expansion unit. The span of the job goes from its fixed to its outermost unit.
[[nodiscard]] Expansion expansion_of(const Plan& plan, const UnitSheet& unit);

/// Whether a gap lies on the side the shaft grows into: away from the fixed unit. Gaps are named by the side
/// they lie on, with the letters of the shaft running from left to right; only "gap_left" is left.
[[nodiscard]] bool is_away_gap(const Plan& plan, const std::string& letter, const std::string& ask);

} // namespace engine
