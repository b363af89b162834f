#pragma once
// How a step stands, worked out from its facts alone: what the ledger (replaying entries) and the rules
// (before an act) must see the same way.
#include "engine/procedure/assess.h"

#include <set>

namespace engine {

/// Asks and slots still to give, in the order they are asked. Optional ones are never missing.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> missing_of(const Step&      step,
                                                                          const StepFacts& facts);

/// The turn was corrected to a smaller angle: rule 6 wants another person to look.
[[nodiscard]] bool turn_was_lowered(const Step& step, const StepFacts& facts);

/// Cannot close without another person's decision.
[[nodiscard]] bool needs_decision(const Step& step, const StepFacts& facts, const Assessment& assessment);

[[nodiscard]] bool accepted(const StepFacts& facts);
[[nodiscard]] bool rejected(const StepFacts& facts);

/// Badges that gave the step's facts: they may not decide on it.
[[nodiscard]] std::set<std::string> givers_of(const StepFacts& facts);

[[nodiscard]] const Ask* ask_named(const Step& step, const std::string& name);
[[nodiscard]] bool       is_supervisor(const Catalogue& catalogue, const std::string& badge);

/// "lock at B", "align".
[[nodiscard]] std::string words_of(const StepRef& ref);

} // namespace engine
