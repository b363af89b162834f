#pragma once
// One cause, one line: a reading, the figure made of it, the step it holds and the decision on it are one
// fact.
#include "engine/evidence/shift_query.h"

#include <optional>
#include <string>
#include <vector>

namespace engine {

struct Cause {
    Finding   finding = Finding::held;   ///< how it stands: held, outside (gone on by decision), ...
    Exception lead;                      ///< the reading, where there is one
    std::vector<Exception>   also;       ///< further readings and figures of the same cause
    std::vector<StepRef>     carried_to; ///< later steps that only repeat it
    std::optional<Exception> decision;   ///< the deviation that let the work go on
};

/// Worst first. Readings and figures of one step and attempt are one cause; a later step at the same position
/// whose own readings are inside carries on the cause of the step before.
[[nodiscard]] std::vector<Cause> causes_of(const std::vector<Exception>& exceptions);

} // namespace engine
