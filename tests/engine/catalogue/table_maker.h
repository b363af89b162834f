#pragma once
// Planner's files for tests: rows as lists of (column, cell), written as CSV text and read back by the real
// reader, so that lines and columns are those a planner would see.
#include "engine/base/csv.h"
#include "engine/catalogue/import.h"

#include <doctest/doctest.h>

#include <string>
#include <utility>
#include <vector>

namespace catalogue_test {

using Columns = std::vector<std::pair<std::string, std::string>>;

inline Columns changed(Columns row, const Columns& changes)
{
    for (const auto& [name, cell] : changes)
        for (auto& [known, value] : row)
            if (known == name) value = cell;
    return row;
}

inline engine::CsvTable table_of(const std::string& file, const std::vector<Columns>& rows,
                                 const Columns& names = {})
{
    std::string text;
    const auto  add = [&text](const Columns& row, bool header) {
        std::string line;
        for (const auto& [name, cell] : row)
            line += (line.empty() ? "\"" : ",\"") + (header ? name : cell) + "\"";
        text += line + "\n";
    };
    add(rows.empty() ? names : rows.front(), true);
    for (const Columns& row : rows)
        add(row, false);
    auto table = engine::parse_csv(text, file);
    REQUIRE(table);
    return *std::move(table);
}

/// "3 slots, 4 code": line and column of every fault, in the order told.
inline std::string told(const std::vector<engine::ImportFault>& faults)
{
    std::string list;
    for (const engine::ImportFault& fault : faults)
        list += (list.empty() ? "" : ", ") + std::to_string(fault.line) + " " + fault.column;
    return list;
}

} // namespace catalogue_test
