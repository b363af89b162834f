#pragma once
// Every column of the planner's four files, in one table. The importer holds each cell against it, `units
// import --columns` prints it, and the comments of a template are made from it: what a planner reads is what
// is checked.
#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace engine {

enum class PlannerFile : std::uint8_t { units, people, instruments, jobs };
inline constexpr std::array kPlannerFiles{PlannerFile::units, PlannerFile::people, PlannerFile::instruments,
                                          PlannerFile::jobs};
[[nodiscard]] std::string_view name_of(PlannerFile file); ///< "units", ...: also the name of the command

struct PlannerColumn {
    std::string_view name;
    bool             must = true; ///< false: the column may be absent and its cells may be empty
    std::string_view when;        ///< a column that is not always needed: "on flange units, else empty"
    std::string_view what;        ///< "a diameter with its unit"; empty where `choices` says all
    std::string_view choices;     ///< every spelling there is: "pillow_block or flange"
    std::string_view units;       ///< "mm, um, in, thou"; empty: no unit
    std::string_view low, high;   ///< both allowed, spelt as a cell is; empty: no limits of its own
    std::string_view example;     ///< one good cell
    std::string_view another;     ///< one more; may be empty
    std::string_view about;       ///< one sentence for the planner
};

[[nodiscard]] std::span<const PlannerColumn> columns_of(PlannerFile file);
/// Null for a name the file has not.
[[nodiscard]] const PlannerColumn* find_column(std::span<const PlannerColumn> columns, std::string_view name);

/// What a cell must be, for complaints: "a diameter with its unit from 10mm to 1000mm, such as 50mm".
[[nodiscard]] std::string wanted_of(const PlannerColumn& column);

/// "code,revision,mount": every name, or only those a file must have.
[[nodiscard]] std::string header_row(PlannerFile file, bool only_must = false);

/// A file to fill in: one comment line a column, then the header row. The importer passes over lines that
/// begin with `#`. No comment line holds a comma, semicolon, tab or quote, so that a spreadsheet opens and
/// saves it as one cell, whatever it separates by.
[[nodiscard]] std::string template_text(PlannerFile file);

} // namespace engine
