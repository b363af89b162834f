#pragma once
// What a planner says of one item of the catalogue: an instrument is retired, a job is not gone on with.
#include "engine/catalogue/import.h"
#include "field/cli/commands.h"

namespace field::cli {

/// Adds `instruments retire` or `jobs end` to its group; nothing to the others.
void add_planner_acts(CLI::App& group, engine::PlannerFile file, Outcome& outcome);

} // namespace field::cli
