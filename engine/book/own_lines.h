#pragma once
// The machine's own lines as plain text, FILE.d/own: FORMAT.md section 6. Written some at a time after the
// commits that make them durable, completed at the next start when the machine died in between. Private to
// engine/book.
#include "engine/book/io.h"
#include "engine/book/ledger.h"

#include <span>

namespace engine {

class OwnLines {
  public:
    static constexpr std::uint64_t kLinesPerFile = 512;

    OwnLines(std::filesystem::path folder, Io& io) : folder_(std::move(folder)), io_(&io) {}

    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

    /// Makes the newest files (and any missing one) say what the ledger says. Faults: io, no_space.
    [[nodiscard]] Status complete(const Ledger& ledger);
    /// Takes committed lines; they are written when there are some, or with `write_waiting`: a second file
    /// touched at every entry makes the sync of the book's log a third slower. A failure is no failure of the
    /// entries: the text is completed later.
    void add(const Ledger& ledger, std::span<const Entry> entries);
    void write_waiting();

    /// Own lines in order, each file as found; a torn end of the newest file is left out. Faults: io.
    [[nodiscard]] Result<std::vector<std::string>> read_all() const;
    /// Files there, by the sequence they start with.
    [[nodiscard]] std::vector<std::uint64_t> firsts() const;
    /// Text of the file that starts with `first`; empty when it is not there.
    [[nodiscard]] Result<std::string> text_of(std::uint64_t first) const;

    [[nodiscard]] static std::uint64_t first_of_file(std::uint64_t seq)
    {
        return (seq - 1) / kLinesPerFile * kLinesPerFile + 1;
    }

  private:
    [[nodiscard]] std::filesystem::path file_of(std::uint64_t first) const;
    [[nodiscard]] Status                complete_file(const Ledger& ledger, std::uint64_t first);
    [[nodiscard]] Status                add_to_file(std::uint64_t first_seq, std::string_view lines);

    void drop_waiting();

    std::filesystem::path folder_;
    Io*                   io_;
    OpenFile              newest_;        ///< the file last written
    std::uint64_t         size_   = 0;    ///< bytes of the newest file
    bool                  behind_ = true; ///< the text may lack lines the ledger has, beside those that wait
    std::string           waiting_;       ///< lines, each with LF, of one file
    std::uint64_t         waiting_from_ = 0, waiting_count_ = 0; ///< sequence of the first; how many
};

} // namespace engine
