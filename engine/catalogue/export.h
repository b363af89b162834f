#pragma once
// The catalogue as the planner's files again: what import took comes out in cells that import takes for the
// very same. Lengths in mm, torques in N.m, angles in degrees, an instrument's figures in its own unit.
#include "engine/catalogue/catalogue.h"
#include "engine/catalogue/columns.h"

namespace engine {

/// One row, cells in the order of columns_of. A person's PIN never comes out: its cell is empty, and an empty
/// one keeps the PIN there is.
[[nodiscard]] std::vector<std::string> cells_of(const UnitSheet& unit);
[[nodiscard]] std::vector<std::string> cells_of(const Person& person);
[[nodiscard]] std::vector<std::string> cells_of(const Instrument& instrument);
[[nodiscard]] std::vector<std::string> cells_of(const Job& job, const Position& position);

/// The whole file: byte-order mark, header, rows (RFC 4180, CRLF). A cell that a spreadsheet would run as a
/// formula (it begins with = + @, or with - and is no plain number) gets an apostrophe in front, which import
/// takes off again.
[[nodiscard]] std::string csv_of(PlannerFile file, const Catalogue& catalogue);

/// Puts the apostrophe in front where a spreadsheet would run the cell, and takes it off again.
[[nodiscard]] std::string guarded(std::string cell);
[[nodiscard]] std::string unguarded(std::string cell);

} // namespace engine
