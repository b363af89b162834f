#pragma once
// Reads a TOML table strictly: every key is known, of its kind, and complained about with file and line.
// Inner to the procedure room.
#include <toml++/toml.h>

#include <cstddef>
#include <filesystem>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

/// Complaints of one reading: "adapter_sleeve.toml:12, key scope: 'place' is not a scope; use job or
/// position."
class Complaints {
  public:
    void add(const std::string& file, std::size_t line, const std::string& sentence);
    [[nodiscard]] const std::vector<std::string>& all() const { return all_; }

  private:
    std::vector<std::string> all_;
};

class TableReader {
  public:
    TableReader(const toml::table& table, std::string file, Complaints& complaints);

    /// A complaint for each key that is not in the list.
    void only(std::initializer_list<std::string_view> known);

    /// Absent: empty text, false, empty list. Of another kind: a complaint, and as if absent.
    [[nodiscard]] std::string              text(std::string_view key);
    [[nodiscard]] std::string              wanted_text(std::string_view key); ///< a complaint if absent
    [[nodiscard]] bool                     flag(std::string_view key, bool otherwise = false);
    [[nodiscard]] std::vector<std::string> texts(std::string_view key);
    [[nodiscard]] std::vector<const toml::table*> tables(std::string_view key); ///< array of tables
    [[nodiscard]] const toml::table*              table(std::string_view key);
    [[nodiscard]] bool has(std::string_view key) const { return table_->contains(key); }

    [[nodiscard]] std::size_t line(std::string_view key) const;       ///< of the key, or of the table
    void complain(std::string_view key, const std::string& sentence); ///< "'x' is not a tool; use ..."

  private:
    const toml::table* table_;
    std::string        file_;
    Complaints*        complaints_;
};

} // namespace engine
