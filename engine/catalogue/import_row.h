#pragma once
// Reads the cells of one row by column name and gathers every complaint about them. Inside the room only.
#include "engine/catalogue/columns.h"
#include "engine/catalogue/import.h"

#include <algorithm>
#include <initializer_list>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

/// Complains about columns that are missing, unknown (a misspelt one would lose its data unseen) or twice
/// there. False: this is no header of such a file at all (forgotten, or a file of another kind), which is one
/// complaint; the rows say nothing then.
[[nodiscard]] bool check_columns(const CsvTable& table, PlannerFile file, std::vector<ImportFault>& faults);

/// Without the rows whose cells are all blank, which spreadsheets leave behind.
[[nodiscard]] CsvTable filled_rows(CsvTable table);

/// How a quantity is read; its limits and words stand in the table of columns.
template <class Q> using Reads = Result<Q> (*)(std::string_view);

class ImportRow {
  public:
    ImportRow(const CsvTable& table, const CsvRow& row, PlannerFile file, std::vector<ImportFault>& faults)
        : table_(table), row_(row), columns_(columns_of(file)), faults_(faults)
    {
    }

    [[nodiscard]] int         line() const { return row_.line; }
    [[nodiscard]] std::string text(std::string_view column) const; ///< trimmed; empty without the column

    void fault(std::string_view column, std::string wrong, std::string wanted);
    void secret_fault(std::string_view column, std::string wrong,
                      std::string wanted); ///< keeps the value out
    /// "cannot be read"; a comma that may stand for thousands or for decimals is told as such.
    void unread(std::string_view column);
    /// No complaint about any of these columns of this row so far, and each is there.
    [[nodiscard]] bool good(std::initializer_list<std::string_view> columns) const;

    [[nodiscard]] std::string word(std::string_view column, bool (*fits)(std::string_view));
    [[nodiscard]] int         whole(std::string_view column);
    [[nodiscard]] bool        yes(std::string_view column);          ///< yes | no; empty means no
    [[nodiscard]] std::string wanted(std::string_view column) const; ///< in the words of the table

    /// An empty cell is a fault.
    template <class Q> [[nodiscard]] Q quantity(std::string_view column, Reads<Q> read)
    {
        if (text(column).empty()) {
            if (table_.column(column) >= 0) fault(column, "is empty", wanted(column));
            bad_.insert(std::string(column));
            return Q{};
        }
        return maybe(column, read).value_or(Q{});
    }
    /// An empty cell is no value.
    template <class Q> [[nodiscard]] std::optional<Q> maybe(std::string_view column, Reads<Q> read)
    {
        const std::string cell = text(column);
        if (cell.empty()) return std::nullopt;
        const Result<Q> found = read(cell);
        if (!found) {
            unread(column);
            return std::nullopt;
        }
        const PlannerColumn* known = find_column(columns_, column);
        const auto           low = read(known->low), high = read(known->high);
        if (!(low && high && *found >= *low && *found <= *high)) {
            fault(column, "is outside what can be", wanted(column));
            return std::nullopt;
        }
        return *found;
    }

  private:
    const CsvTable&                    table_;
    const CsvRow&                      row_;
    std::span<const PlannerColumn>     columns_;
    std::vector<ImportFault>&          faults_;
    std::set<std::string, std::less<>> bad_;
};

/// Complains when `key` of `column` stands on an earlier line already.
class OnceOnly {
  public:
    void see(ImportRow& row, std::string_view column, const std::string& key);

  private:
    std::map<std::string, int> lines_;
};

/// All or nothing: no items while there is a fault, and the faults in the order of the file.
template <class T> Imported<T> all_or_nothing(std::vector<T> items, std::vector<ImportFault> faults)
{
    std::ranges::stable_sort(faults, {}, &ImportFault::line);
    if (!faults.empty()) items.clear();
    return {std::move(items), std::move(faults)};
}

} // namespace engine
