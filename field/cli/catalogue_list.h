#pragma once
// `units|people|instruments|jobs list` and `export`: the catalogue as the book holds it, read beside a
// writer.
#include "engine/catalogue/columns.h"
#include "field/cli/commands.h"

namespace field::cli {

/// Adds both to the group of one kind.
void add_catalogue_list(CLI::App& group, engine::PlannerFile file, Outcome& outcome);

} // namespace field::cli
