#pragma once
// The book: every entry this machine knows, its own and others'. One writer, one thread at a time (`Book`
// locks inside only what it must: reads may come from the worker through a second Book opened read-only). On
// disk: FILE (sqlite, WAL, synchronous FULL: index and outbox), FILE.key (machine key), FILE.d/blob (photos),
// FILE.d/own (own lines as plain text, so that the sqlite file can be rebuilt).
#include "engine/base/clock.h"
#include "engine/book/codec.h"
#include "engine/book/entry.h"
#include "engine/book/photos.h"
#include "engine/catalogue/catalogue.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace engine {

struct BookOptions {
    std::string machine_name = "tablet"; ///< "T-03"; used once, when the book is made
    std::string plant        = "saltmarsh";
    std::optional<std::array<unsigned char, 32>> seed = std::nullopt; ///< fixed key for demo and tests
    Io*                                          io   = nullptr;      ///< default: disk_io()
    bool read_only = false; ///< a second Book beside the writer: every change is refused with Fault::locked
};

/// Where an entry has got to: the three honest states.
enum class Reach { on_this_machine, in_folder, read_back };

struct Kept { ///< what `append` hands back once the line is durable
    std::string   id;
    std::uint64_t seq = 0;
};

class Book {
  public:
    /// Makes the book when FILE is not there (and `create`), else opens it and verifies the tail of its own
    /// chain. Faults: not_found, locked (another program writes it), corrupt (not a book, chain broken: names
    /// the entry), io.
    [[nodiscard]] static Result<Book> open(const std::filesystem::path& file, const Clock& clock,
                                           const BookOptions& options = {}, bool create = true);
    Book(Book&&) noexcept;
    Book& operator=(Book&&) noexcept;
    Book(const Book&)            = delete;
    Book& operator=(const Book&) = delete;
    ~Book();

    /// Signs and stores one entry; durable when it returns. Disk full: Fault::no_space and nothing changed.
    [[nodiscard]] Result<Kept> append(const Draft& draft);
    [[nodiscard]] Result<std::vector<Kept>>
    append_all(const std::vector<Draft>& drafts); ///< one transaction: all or none
    /// Another machine's verified entries, in sequence order; idempotent. Faults: conflict (fork: same dev
    /// and seq, other id), corrupt (gap or prev does not fit) naming machine and sequence. All or none.
    [[nodiscard]] Result<int> take_in(const std::vector<Entry>& entries);

    [[nodiscard]] std::vector<Entry>   entries_of_job(const std::string& job) const; ///< in shown order
    [[nodiscard]] std::vector<Entry>   entries_of_kind(const std::string& kind) const;
    [[nodiscard]] std::vector<Entry>   entries_between(std::int64_t from_wall_ms,
                                                       std::int64_t to_wall_ms) const;
    [[nodiscard]] std::vector<Entry>   entries_of_machine(const std::string& dev, std::uint64_t from_seq,
                                                          std::size_t most) const;
    [[nodiscard]] std::optional<Entry> entry(const std::string& id) const;
    [[nodiscard]] std::size_t          size() const;
    /// Good, or the first failure of a read since the book was opened: lists may then be short.
    [[nodiscard]] Status        trouble() const;
    [[nodiscard]] std::uint64_t version() const; ///< changes with every append or take_in: caches key on it

    struct Machine {
        std::string   dev, name;
        std::uint64_t last_seq = 0;
        std::string   last_id;
        bool          self = false;
    };
    [[nodiscard]] std::vector<Machine>         machines() const;
    [[nodiscard]] const std::string&           device() const;
    [[nodiscard]] const std::string&           machine_name() const;
    [[nodiscard]] const std::string&           plant() const;
    [[nodiscard]] const std::filesystem::path& file() const;

    [[nodiscard]] const Catalogue& catalogue() const; ///< rebuilt when version() moves

    [[nodiscard]] PhotoStore&              photos();
    [[nodiscard]] std::vector<std::string> photo_hashes() const; ///< all photos any entry names

    /// Outbox. Own lines above the published mark are still to send; marks only rise.
    [[nodiscard]] std::uint64_t published_seq() const;
    [[nodiscard]] Status        mark_published(std::uint64_t seq);
    [[nodiscard]] Reach
    reach(const Entry& entry) const; ///< read_back: some other machine's witness covers it
    /// Remembers that a file of the folder was verified (name is content hash), so the next pass skips it.
    [[nodiscard]] bool   seen_file(const std::string& name) const;
    [[nodiscard]] Status mark_seen(const std::string& name);

    friend std::string state_hash(const Book& book);

  private:
    struct Inside;
    explicit Book(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

struct CheckReport {
    std::size_t entries = 0, signatures = 0, photos = 0, photos_missing = 0;
    bool        whole = true;
    std::string first_break; ///< one sentence: machine, sequence, what does not fit; empty when whole
};
/// Proves the whole book: every line canonical, hashed, signed, chained; every photo named is there with its
/// hash.
[[nodiscard]] Result<CheckReport>
check_book(const std::filesystem::path&                                  file,
           const std::function<bool(std::size_t done, std::size_t all)>& progress = {});

/// SHA-256 over all ids in shown order: equal on two machines that know the same entries.
[[nodiscard]] std::string state_hash(const Book& book);

} // namespace engine
