#pragma once
// Reads the cells of one row by column name and gathers every complaint about them. Inside the room only.
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

struct ImportColumn {
    const char* name = "";
    bool        must = true; ///< false: the column may be absent and its cells may be empty
};

/// Complains about columns that are missing, unknown (a misspelt one would lose its data unseen) or twice
/// there.
void check_columns(const CsvTable& table, std::span<const ImportColumn> columns,
                   std::vector<ImportFault>& faults);

/// How a quantity is read: limits are inclusive; `wanted` names them in words.
template <class Q> struct Ask {
    Result<Q> (*parse)(std::string_view);
    Q           low, high;
    const char* wanted;
};

class ImportRow {
  public:
    ImportRow(const CsvTable& table, const CsvRow& row, std::vector<ImportFault>& faults)
        : table_(table), row_(row), faults_(faults)
    {
    }

    [[nodiscard]] int         line() const { return row_.line; }
    [[nodiscard]] std::string text(std::string_view column) const; ///< trimmed; empty without the column

    void fault(std::string_view column, std::string wrong, std::string wanted);
    void secret_fault(std::string_view column, std::string wrong,
                      std::string wanted); ///< keeps the value out
    /// No complaint about any of these columns of this row so far, and each is there.
    [[nodiscard]] bool good(std::initializer_list<std::string_view> columns) const;

    [[nodiscard]] std::string word(std::string_view column, bool (*fits)(std::string_view),
                                   const char*      wanted);
    [[nodiscard]] int         whole(std::string_view column, int low, int high);
    [[nodiscard]] bool        yes(std::string_view column); ///< yes | no; empty means no

    /// An empty cell is a fault.
    template <class Q> [[nodiscard]] Q quantity(std::string_view column, const Ask<Q>& ask)
    {
        if (text(column).empty()) {
            if (table_.column(column) >= 0) fault(column, "is empty", ask.wanted);
            bad_.insert(std::string(column));
            return Q{};
        }
        return maybe(column, ask).value_or(Q{});
    }
    /// An empty cell is no value.
    template <class Q> [[nodiscard]] std::optional<Q> maybe(std::string_view column, const Ask<Q>& ask)
    {
        const std::string cell = text(column);
        if (cell.empty()) return std::nullopt;
        const Result<Q> read = ask.parse(cell);
        if (!read) {
            fault(column, "cannot be read", ask.wanted);
            return std::nullopt;
        }
        if (!(*read >= ask.low && *read <= ask.high)) {
            fault(column, "is outside what can be", ask.wanted);
            return std::nullopt;
        }
        return *read;
    }

  private:
    const CsvTable&                    table_;
    const CsvRow&                      row_;
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
