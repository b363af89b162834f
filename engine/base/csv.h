#pragma once
// Comma separated values as planners' spreadsheets write them (RFC 4180): quoted cells, doubled quotes, CRLF
// or LF, an optional byte-order mark, `#` comment lines. Where decimals have a comma, spreadsheets separate
// by semicolons or tabs: the header row says which. Keeps line and column of every cell for complaints.
#include "engine/base/result.h"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

struct CsvRow {
    int                      line = 0; ///< 1-based line in the file where the row starts
    std::vector<std::string> cells;
};

struct CsvTable {
    std::string              file;   ///< as named in complaints
    std::vector<std::string> header; ///< column names, trimmed
    char separator   = ',';          ///< the one of comma, semicolon and tab that the header has most of
    int  header_line = 1;     ///< 1-based line of the header in the file (comment lines may stand above it)
    std::vector<CsvRow> rows; ///< each with exactly header.size() cells

    /// Index of a column, or -1.
    [[nodiscard]] int column(std::string_view name) const;
};

/// Fails with Fault::bad_input (open quote, row with too many or too few cells, no header, NUL byte, not
/// UTF-8) naming file and line, Fault::not_found or Fault::io for the file itself. Files above 16 MiB are
/// refused.
[[nodiscard]] Result<CsvTable> parse_csv(std::string_view text, std::string file_name);
[[nodiscard]] Result<CsvTable> read_csv(const std::filesystem::path& file);

} // namespace engine
