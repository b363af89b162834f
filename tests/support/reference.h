#pragma once
// Published values to check against, row by row. Each file keeps its `source` column; the keys are explained
// in assets/tables/SOURCES.md.
#include "engine/base/csv.h"
#include "engine/base/numbers.h"

#include <filesystem>
#include <optional>
#include <stdexcept>
#include <string>

namespace support {

class Reference {
  public:
    explicit Reference(const std::string& name)
    {
        auto table =
            engine::read_csv(std::filesystem::path(WM_SOURCE_DIR) / "tests" / "reference" / (name + ".csv"));
        if (!table) throw std::runtime_error(table.error().message);
        table_ = *std::move(table);
    }

    [[nodiscard]] std::size_t rows() const { return table_.rows.size(); }

    [[nodiscard]] const std::string& text(std::size_t row, std::string_view column) const
    {
        const int index = table_.column(column);
        if (index < 0) throw std::runtime_error("no column " + std::string(column) + " in " + table_.file);
        return table_.rows.at(row).cells.at(static_cast<std::size_t>(index));
    }

    [[nodiscard]] std::optional<double> maybe(std::size_t row, std::string_view column) const
    {
        const auto value = engine::parse_number(text(row, column));
        if (!value) return std::nullopt;
        return *value;
    }

    [[nodiscard]] double number(std::size_t row, std::string_view column) const
    {
        const auto value = maybe(row, column);
        if (!value)
            throw std::runtime_error(table_.file + ": no number in column " + std::string(column) + ", row " +
                                     std::to_string(row));
        return *value;
    }

  private:
    engine::CsvTable table_;
};

} // namespace support
