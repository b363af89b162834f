#pragma once
// What everything read at a position says together about its fit: the record's readings handed to the
// estimate of engine/fit/estimate.h with their uncertainties.
#include "engine/fit/estimate.h"
#include "engine/procedure/judged.h"

namespace engine {

enum class FeelersAfter { left_out, taken_in };

/// From the nut angle (`angle`, from zero), the sleeve travel, both clearances and the nut torque, as far as
/// they were read; the clearance of the sheet as delivered where none was read before. None when what is
/// there does not speak of both travel and clearance.
[[nodiscard]] std::optional<FitEstimate> fit_at(const Plan& plan, const FactsByStep& facts,
                                                const std::string& pos, Degrees angle, FeelersAfter after);

/// A sentence naming the reading that does not fit the others; empty when all fit.
[[nodiscard]] std::string misfit_sentence(const FitEstimate& estimate);

} // namespace engine
