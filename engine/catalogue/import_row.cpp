#include "engine/catalogue/import_row.h"

#include "engine/base/numbers.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr std::string_view kBlank = " \t\r\n";

std::string trimmed(std::string_view text)
{
    const auto first = text.find_first_not_of(kBlank);
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(kBlank) - first + 1));
}

} // namespace

std::string sentence(const ImportFault& fault)
{
    std::string told = fault.file;
    if (fault.line > 0) told += ":" + std::to_string(fault.line);
    told += ", column " + fault.column;
    told += fault.value.empty() ? " " : ": '" + fault.value + "' ";
    return told + fault.wrong + "; give " + fault.wanted + ".";
}

void check_columns(const CsvTable& table, std::span<const ImportColumn> columns,
                   std::vector<ImportFault>& faults)
{
    std::string names;
    for (const ImportColumn& column : columns) {
        names += (names.empty() ? "" : ", ") + std::string(column.name);
        if (column.must && table.column(column.name) < 0)
            faults.push_back({table.file,
                              table.header_line,
                              column.name,
                              {},
                              "is missing from the header",
                              "the file this column"});
    }
    std::set<std::string> seen;
    for (const std::string& name : table.header) {
        if (!seen.insert(name).second)
            faults.push_back(
                {table.file, table.header_line, name, {}, "stands twice in the header", "each column once"});
        else if (std::ranges::none_of(columns, [&](const ImportColumn& known) { return name == known.name; }))
            faults.push_back({table.file, table.header_line, name, {}, "is not known", "one of " + names});
    }
}

std::string ImportRow::text(std::string_view column) const
{
    const int index = table_.column(column);
    if (index < 0 || static_cast<std::size_t>(index) >= row_.cells.size()) return {};
    return trimmed(row_.cells[static_cast<std::size_t>(index)]);
}

void ImportRow::fault(std::string_view column, std::string wrong, std::string wanted)
{
    faults_.push_back(
        {table_.file, row_.line, std::string(column), text(column), std::move(wrong), std::move(wanted)});
    bad_.insert(std::string(column));
}

void ImportRow::secret_fault(std::string_view column, std::string wrong, std::string wanted)
{
    fault(column, std::move(wrong), std::move(wanted));
    faults_.back().value.clear();
}

bool ImportRow::good(std::initializer_list<std::string_view> columns) const
{
    return std::ranges::all_of(columns, [this](std::string_view column) {
        return table_.column(column) >= 0 && !bad_.contains(column);
    });
}

std::string ImportRow::word(std::string_view column, bool (*fits)(std::string_view), const char* wanted)
{
    std::string cell = text(column);
    if (table_.column(column) < 0) return {};
    if (cell.empty())
        fault(column, "is empty", wanted);
    else if (!fits(cell))
        fault(column, "cannot be read", wanted);
    return cell;
}

int ImportRow::whole(std::string_view column, int low, int high)
{
    const std::string cell   = text(column);
    const std::string wanted = "a whole number from " + std::to_string(low) + " to " + std::to_string(high);
    if (table_.column(column) < 0) return low;
    const auto number = parse_number(cell);
    if (cell.empty())
        fault(column, "is empty", wanted);
    else if (!number || std::abs(*number) > 1e6 || *number != std::floor(*number))
        fault(column, "cannot be read", wanted);
    else if (*number < low || *number > high)
        fault(column, "is outside what can be", wanted);
    else
        return static_cast<int>(*number);
    return low;
}

bool ImportRow::yes(std::string_view column)
{
    const std::string cell = text(column);
    if (!cell.empty() && cell != "yes" && cell != "no") fault(column, "cannot be read", "yes or no");
    return cell == "yes";
}

void OnceOnly::see(ImportRow& row, std::string_view column, const std::string& key)
{
    if (!row.good({column})) return;
    const auto [place, first] = lines_.emplace(key, row.line());
    if (!first)
        row.fault(column, "stands on line " + std::to_string(place->second) + " already",
                  "each " + std::string(column) + " once");
}

} // namespace engine
