#pragma once
// What a planner's file must hold, where the planner looks for it: `units import --columns` and `--template`.
#include "engine/catalogue/columns.h"

namespace field::cli {

/// Every column: needed or not, what it takes, an example, one sentence.
void show_columns(engine::PlannerFile file, bool as_json);
/// A file to fill in, on standard output.
void show_template(engine::PlannerFile file);

} // namespace field::cli
