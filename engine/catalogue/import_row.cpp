#include "engine/catalogue/import_row.h"

#include "engine/base/numbers.h"
#include "engine/catalogue/export.h"

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
    if (fault.column.empty()) return told + ": " + fault.wrong + "; give " + fault.wanted + ".";
    told += ", column " + fault.column;
    told += fault.value.empty() ? " " : ": '" + fault.value + "' ";
    return told + fault.wrong + "; give " + fault.wanted + ".";
}

namespace {

bool names_column(const CsvTable& table, PlannerFile file)
{
    return std::ranges::any_of(table.header, [&](const std::string& name) {
        return find_column(columns_of(file), name) != nullptr;
    });
}

bool has_all_needed(const CsvTable& table, PlannerFile file)
{
    return std::ranges::all_of(columns_of(file), [&](const PlannerColumn& column) {
        return !column.must || table.column(column.name) >= 0;
    });
}

/// What kind of file this is by its header, when it is whole and not the wanted one.
std::optional<PlannerFile> other_kind(const CsvTable& table, PlannerFile file)
{
    if (has_all_needed(table, file)) return std::nullopt;
    for (const PlannerFile other : kPlannerFiles)
        if (other != file && has_all_needed(table, other)) return other;
    return std::nullopt;
}

} // namespace

bool check_columns(const CsvTable& table, PlannerFile file, std::vector<ImportFault>& faults)
{
    const std::string kind(name_of(file));
    if (const auto other = other_kind(table, file)) {
        const std::string is(name_of(*other));
        faults.push_back({table.file,
                          table.header_line,
                          {},
                          {},
                          "this is a file of " + is + " by its first row, not of " + kind,
                          "it to `" + is + " import`, or a file of " + kind + " here"});
        return false;
    }
    // The row itself is not repeated: without a header it may hold a PIN.
    if (!names_column(table, file)) {
        faults.push_back(
            {table.file,
             table.header_line,
             {},
             {},
             "the first row names no column of a file of " + kind + ", as if the header row was forgotten",
             "a first row with " + header_row(file, true) + " (`" + kind +
                 " import --columns` explains each)"});
        return false;
    }
    std::set<std::string> seen;
    for (const PlannerColumn& column : columns_of(file))
        if (column.must && table.column(column.name) < 0)
            faults.push_back({table.file,
                              table.header_line,
                              std::string(column.name),
                              {},
                              "is missing from the header",
                              "the file this column"});
    for (const std::string& name : table.header) {
        if (!seen.insert(name).second)
            faults.push_back(
                {table.file, table.header_line, name, {}, "stands twice in the header", "each column once"});
        else if (find_column(columns_of(file), name) == nullptr)
            faults.push_back(
                {table.file, table.header_line, name, {}, "is not known", "one of " + header_row(file)});
    }
    return true;
}

CsvTable filled_rows(CsvTable table)
{
    std::erase_if(table.rows, [](const CsvRow& row) {
        return std::ranges::all_of(row.cells, [](const std::string& cell) { return trimmed(cell).empty(); });
    });
    return table;
}

std::string ImportRow::text(std::string_view column) const
{
    const int index = table_.column(column);
    if (index < 0 || static_cast<std::size_t>(index) >= row_.cells.size()) return {};
    return unguarded(trimmed(row_.cells[static_cast<std::size_t>(index)]));
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

std::string ImportRow::wanted(std::string_view column) const
{
    const PlannerColumn* known = find_column(columns_, column);
    return known == nullptr ? std::string() : wanted_of(*known);
}

void ImportRow::unread(std::string_view column)
{
    if (const auto both = two_readings(text(column)))
        fault(column, "can be " + both->first + " and " + both->second, "one of them without a comma");
    else
        fault(column, "cannot be read", wanted(column));
}

std::string ImportRow::word(std::string_view column, bool (*fits)(std::string_view))
{
    std::string cell = text(column);
    if (table_.column(column) < 0) return {};
    if (cell.empty())
        fault(column, "is empty", wanted(column));
    else if (!fits(cell))
        fault(column, "cannot be read", wanted(column));
    return cell;
}

int ImportRow::whole(std::string_view column)
{
    const std::string    cell  = text(column);
    const PlannerColumn* known = find_column(columns_, column);
    const auto           low = parse_number(known->low), high = parse_number(known->high);
    const int            least = static_cast<int>(low ? *low : 0.0);
    if (table_.column(column) < 0) return least;
    const auto number = parse_number(cell);
    if (cell.empty())
        fault(column, "is empty", wanted(column));
    else if (!number || std::abs(*number) > 1e6 || *number != std::floor(*number))
        unread(column);
    else if (*number < least || *number > *high)
        fault(column, "is outside what can be", wanted(column));
    else
        return static_cast<int>(*number);
    return least;
}

bool ImportRow::yes(std::string_view column)
{
    const std::string cell = text(column);
    if (!cell.empty() && cell != "yes" && cell != "no") fault(column, "cannot be read", wanted(column));
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
