#pragma once
// The program's own tables (assets/tables/*.csv). Every row carries a `source` whose tag is explained in
// assets/tables/SOURCES.md.
#include "engine/base/csv.h"

#include <optional>

namespace engine {

class OwnTable {
  public:
    OwnTable() = default;
    explicit OwnTable(CsvTable table) : table_(std::move(table)) {}

    [[nodiscard]] std::size_t rows() const { return table_.rows.size(); }
    /// Empty when the column or the row does not exist.
    [[nodiscard]] std::string text(std::size_t row, std::string_view column) const;
    /// None where the cell is empty or not a number.
    [[nodiscard]] std::optional<double> number(std::size_t row, std::string_view column) const;
    /// True when `value` lies over the first column and up to and including the second (ISO 286 step rule).
    [[nodiscard]] bool in_step(std::size_t row, double value, std::string_view over,
                               std::string_view up_to) const;

  private:
    CsvTable table_;
};

/// Reads assets/tables/<name>.csv. Fails like read_csv.
[[nodiscard]] Result<OwnTable> own_table(std::string_view name);

} // namespace engine
