#include "engine/base/tables.h"

#include "engine/base/files.h"
#include "engine/base/numbers.h"

#include <string>

namespace engine {

std::string OwnTable::text(std::size_t row, std::string_view column) const
{
    const int index = table_.column(column);
    if (index < 0 || row >= table_.rows.size()) return {};
    return table_.rows[row].cells[static_cast<std::size_t>(index)];
}

std::optional<double> OwnTable::number(std::size_t row, std::string_view column) const
{
    const auto value = parse_number(text(row, column));
    if (!value) return std::nullopt;
    return *value;
}

bool OwnTable::in_step(std::size_t row, double value, std::string_view over, std::string_view up_to) const
{
    const auto low  = number(row, over);
    const auto high = number(row, up_to);
    return low && high && value > *low && value <= *high;
}

Result<OwnTable> own_table(std::string_view name)
{
    auto table = read_csv(assets_folder() / "tables" / (std::string(name) + ".csv"));
    if (!table)
        return failure(table.error().fault,
                       "The program's own table '" + std::string(name) +
                           "' cannot be read; install the program again. " + table.error().message,
                       table.error().context);
    return OwnTable(*std::move(table));
}

} // namespace engine
