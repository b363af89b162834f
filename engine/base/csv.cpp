#include "engine/base/csv.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <optional>
#include <system_error>

namespace engine {
namespace {

constexpr std::uintmax_t kLargestFile = std::uintmax_t{16} * 1024 * 1024;

/// Number of bytes of the UTF-8 character at the start of `text`, 0 when it is not one.
std::size_t utf8_length(std::string_view text)
{
    const auto  byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const auto  lead = byte(0);
    std::size_t size = 0;
    if (lead < 0x80) return 1;
    if (lead >= 0xC2 && lead <= 0xDF) size = 2;
    if (lead >= 0xE0 && lead <= 0xEF) size = 3;
    if (lead >= 0xF0 && lead <= 0xF4) size = 4;
    if (size == 0 || text.size() < size) return 0;
    for (std::size_t i = 1; i < size; ++i)
        if ((byte(i) & 0xC0U) != 0x80U) return 0;
    // Overlong forms, surrogates and what lies beyond U+10FFFF.
    if ((lead == 0xE0 && byte(1) < 0xA0) || (lead == 0xED && byte(1) > 0x9F)) return 0;
    if ((lead == 0xF0 && byte(1) < 0x90) || (lead == 0xF4 && byte(1) > 0x8F)) return 0;
    return size;
}

std::string trimmed(const std::string& text)
{
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// A comment a spreadsheet has put in quotes: nothing else stands in its row.
bool is_quoted_comment(const std::vector<std::string>& cells)
{
    return !cells.front().empty() && cells.front().front() == '#' &&
           std::all_of(cells.begin() + 1, cells.end(),
                       [](const std::string& cell) { return trimmed(cell).empty(); });
}

class Reader {
  public:
    Reader(std::string_view text, std::string file) : text_(text), file_(std::move(file)) {}

    [[nodiscard]] Failure fault(int line, const std::string& trouble) const
    {
        return failure(Fault::bad_input, file_ + ":" + std::to_string(line) + ": " + trouble);
    }

    /// The first thing wrong with the characters themselves.
    [[nodiscard]] std::optional<Failure> bad_characters() const
    {
        int line = 1;
        for (std::size_t i = 0; i < text_.size();) {
            if (text_[i] == '\0')
                return fault(line, "there is a NUL byte; save the sheet as plain CSV text.");
            if (text_[i] == '\n') ++line;
            const std::size_t step = utf8_length(text_.substr(i));
            if (step == 0) return fault(line, "this is not UTF-8 text; save the sheet as CSV in UTF-8.");
            i += step;
        }
        return std::nullopt;
    }

    [[nodiscard]] bool at_end() const { return at_ >= text_.size(); }
    [[nodiscard]] int  line() const { return line_; }

    /// Skips blank lines and comments; true when a row follows.
    bool find_row()
    {
        while (!at_end()) {
            const std::size_t end  = std::min(text_.find('\n', at_), text_.size());
            std::string_view  here = text_.substr(at_, end - at_);
            if (here.find_first_not_of(" \t\r") != std::string_view::npos && here.front() != '#') return true;
            at_ = end + 1;
            ++line_;
        }
        return false;
    }

    /// By the row that comes next: the separator most of which stand in it outside quotes.
    void choose_separator()
    {
        constexpr std::string_view kKnown = ",;\t";
        std::array<int, 3>         found{};
        bool                       quoted = false;
        for (std::size_t i = at_; i < text_.size() && (quoted || text_[i] != '\n'); ++i) {
            if (text_[i] == '"') quoted = !quoted;
            const std::size_t which = quoted ? std::string_view::npos : kKnown.find(text_[i]);
            if (which != std::string_view::npos) ++found.at(which);
        }
        separator_ =
            kKnown[static_cast<std::size_t>(std::max_element(found.begin(), found.end()) - found.begin())];
    }
    [[nodiscard]] char separator() const { return separator_; }

    Result<std::vector<std::string>> row()
    {
        const int                started = line_;
        std::vector<std::string> cells;
        while (true) {
            auto one = cell(started);
            if (!one) return one.failure();
            cells.push_back(*std::move(one));
            if (!at_end() && text_[at_] == separator_) {
                ++at_;
                continue;
            }
            if (!at_end() && text_[at_] == '\r') ++at_;
            if (!at_end()) ++at_, ++line_; // the line feed itself
            return cells;
        }
    }

  private:
    [[nodiscard]] bool ends_cell() const
    {
        if (at_end()) return true;
        const char c = text_[at_];
        return c == separator_ || c == '\n' ||
               (c == '\r' && (at_ + 1 >= text_.size() || text_[at_ + 1] == '\n'));
    }

    Result<std::string> cell(int row_line)
    {
        std::string value;
        if (at_end() || text_[at_] != '"') {
            while (!ends_cell())
                value += text_[at_++];
            return value;
        }
        for (++at_; !at_end(); ++at_) {
            const char c = text_[at_];
            if (c == '"') {
                if (at_ + 1 >= text_.size() || text_[at_ + 1] != '"') break;
                ++at_;
            }
            if (c == '\n') ++line_;
            value += c;
        }
        if (at_end()) return fault(row_line, "a quote is opened and never closed.");
        ++at_;
        if (!ends_cell())
            return fault(line_, "there is text after a closing quote; double the quotes inside a cell.");
        return value;
    }

    std::string_view text_;
    std::string      file_;
    std::size_t      at_        = 0;
    int              line_      = 1;
    char             separator_ = ',';
};

} // namespace

int CsvTable::column(std::string_view name) const
{
    const auto found = std::find(header.begin(), header.end(), name);
    return found == header.end() ? -1 : static_cast<int>(found - header.begin());
}

Result<CsvTable> parse_csv(std::string_view text, std::string file_name)
{
    if (text.size() > kLargestFile)
        return failure(Fault::bad_input, file_name + " is larger than 16 MiB; split the sheet.");
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    CsvTable table;
    table.file = file_name;
    Reader reader(text, std::move(file_name));
    if (const auto bad = reader.bad_characters()) return *bad;
    const auto next = [&reader](int& line, bool is_header) -> Result<std::vector<std::string>> {
        while (reader.find_row()) {
            line = reader.line();
            if (is_header) reader.choose_separator();
            auto cells = reader.row();
            if (!cells || !is_quoted_comment(*cells)) return cells;
        }
        return std::vector<std::string>();
    };
    auto header = next(table.header_line, true);
    if (!header) return header.failure();
    if (header->empty()) return reader.fault(1, "there is no header; the first row must name the columns.");
    table.separator = reader.separator();
    for (const std::string& name : *header)
        table.header.push_back(trimmed(name));
    while (true) {
        CsvRow row;
        auto   cells = next(row.line, false);
        if (!cells) return cells.failure();
        if (cells->empty()) break;
        if (cells->size() != table.header.size())
            return reader.fault(row.line, "the row has " + std::to_string(cells->size()) +
                                              " cells, the header names " +
                                              std::to_string(table.header.size()) + ".");
        row.cells = *std::move(cells);
        table.rows.push_back(std::move(row));
    }
    return table;
}

Result<CsvTable> read_csv(const std::filesystem::path& file)
{
    const std::string name = file.filename().string();
    std::error_code   trouble;
    const auto        status = std::filesystem::status(file, trouble);
    if (!std::filesystem::exists(status))
        return failure(Fault::not_found, "There is no file '" + name + "'; check the name and the folder.",
                       file.string());
    if (!std::filesystem::is_regular_file(status))
        return failure(Fault::io, "'" + name + "' is not a file that can be read.", file.string());
    const std::uintmax_t size = std::filesystem::file_size(file, trouble);
    if (!trouble && size > kLargestFile)
        return failure(Fault::bad_input, name + " is larger than 16 MiB; split the sheet.", file.string());
    std::ifstream     in(file, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
    if (!in) // a stream that could not be opened, or broke while reading
        return failure(Fault::io, "'" + name + "' cannot be read; check that you may open it.",
                       file.string());
    return parse_csv(text, name);
}

} // namespace engine
