#pragma once
// The program as it is installed, with a book of the demo plant and a long file of deeds to carry out on it:
// one lock number and one photo an item, each told apart from all others.
#include "engine/book/book.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/program.h"

namespace trust {

/// One line of `fill --report`.
struct Ack {
    std::uint64_t seq = 0;
    std::string   kind, id;
};
/// Whole lines only: what was cut off in the middle was not said.
[[nodiscard]] std::vector<Ack> acks_in(const std::string& said);

/// What an item of the file asks for, in the order of the file.
struct Attempt {
    std::string kind; ///< of the entry
    std::string text; ///< lock number, or the hash of the photo
};

class Desk {
  public:
    /// Makes the book, the photos and the file with `items` items, once for all cases.
    Desk(const std::filesystem::path& folder, int items);

    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
    [[nodiscard]] std::string                  file() const { return (folder_ / "deeds.json").string(); }
    [[nodiscard]] std::string after() const { return (folder_ / "after.json").string(); } ///< one item more
    [[nodiscard]] const std::vector<Attempt>& attempts() const { return attempts_; }
    [[nodiscard]] std::uint64_t               entries() const { return entries_; } ///< of the fresh book

    /// A copy of the fresh book, with its key and folder, in `place`.
    [[nodiscard]] std::filesystem::path fresh_book(const std::filesystem::path& place) const;
    /// What the attempts left behind the fresh book; what the machine says by itself is left out.
    [[nodiscard]] std::vector<engine::Entry> new_entries(const std::filesystem::path& book) const;
    /// Whether the nth new entry says what the nth attempt was.
    [[nodiscard]] bool is_attempt(const engine::Entry& entry, std::size_t n) const;

  private:
    std::filesystem::path folder_;
    std::vector<Attempt>  attempts_;
    std::uint64_t         entries_ = 0;
};

/// What a fault did to the record, counted.
struct Loss {
    int  lost = 0, phantom = 0, altered = 0, not_whole = 0, changed = 0;
    void operator+=(const Loss& other)
    {
        lost += other.lost, phantom += other.phantom, altered += other.altered;
        not_whole += other.not_whole, changed += other.changed;
    }
    [[nodiscard]] std::string text() const;  ///< "lost/phantom/altered = 0/0/0, ..."
    void                      check() const; ///< CHECKs that nothing of it happened
};

/// The next start, without a fault, carries out one item more; then what was acknowledged is held against
/// what is there.
[[nodiscard]] Loss next_start(const Desk& desk, const std::filesystem::path& book,
                              const std::vector<Ack>& acked);

} // namespace trust
