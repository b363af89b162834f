#pragma once
// What a reading proves. ISO 14253-1: with expanded uncertainty U a reading proves conformity only when the
// whole interval reading +-U lies within the limits, and non-conformity only when the whole interval lies
// beyond one of them; in between nothing is proven.
// Source: [ISO14253-RULE] in assets/tables/SOURCES.md.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string_view>

namespace engine {

enum class Verdict { inside, undecided, outside };

[[nodiscard]] std::string_view name_of(Verdict verdict); ///< "inside", "undecided", "outside"
[[nodiscard]] Result<Verdict>  verdict_from(std::string_view name);

/// outside beats undecided beats inside; inside when there is nothing to compare.
[[nodiscard]] Verdict worst(Verdict a, Verdict b);
[[nodiscard]] Verdict worst(std::initializer_list<Verdict> verdicts);

/// How sure a verdict has to be. Which one is a matter of the sheet, and goes into the record.
enum class DecisionRule {
    k2,          ///< guard band U = 2 u: ISO 14253-1 as first published [ISO14253-RULE]
    one_sided_95 ///< guard band 1.645 u: 95 % sure at one limit, ISO 14253-1:2017 (from memory), JCGM 106 8.3
};
[[nodiscard]] std::string_view     name_of(DecisionRule rule); ///< "k2", "95"
[[nodiscard]] Result<DecisionRule> rule_from(std::string_view name);
/// Guard band over the standard uncertainty: 2 or 1.645. Hand `guard_factor x u` to decide() as its
/// uncertainty.
[[nodiscard]] double guard_factor(DecisionRule rule);

/// Limits in the SI integer of the reading's unit (lengths: 0.1 um). An absent limit is no limit.
struct IntegerLimits {
    std::optional<std::int64_t> low, high;
};

/// The decision in integers, so that no limit is ever missed by the last bit of a double. A negative
/// uncertainty counts as its size.
[[nodiscard]] Verdict decide(std::int64_t reading, std::int64_t expanded_u, const IntegerLimits& limits);

/// 0.1 um integers. `to_dum` rounds to the nearest, `u_to_dum` up: an uncertainty is never made smaller.
/// Values that are not finite or beyond 10 km saturate.
[[nodiscard]] std::int64_t to_dum(Millimetres length);
[[nodiscard]] std::int64_t u_to_dum(Micrometres expanded_u);

} // namespace engine
