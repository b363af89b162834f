#pragma once
// The book: every entry this machine knows, its own and others'. One writer, one thread at a time (`Book`
// locks inside only what it must: reads may come from the worker through a second Book opened read-only). On
// disk: FILE (sqlite, WAL, synchronous FULL: index and outbox), FILE.key (machine key), FILE.d/blob (photos),
// FILE.d/own (own lines as plain text, so that the sqlite file can be rebuilt).
#include "engine/base/clock.h"
#include "engine/book/codec.h"
#include "engine/book/entry.h"
#include "engine/book/photos.h"
#include "engine/book/roster.h"
#include "engine/book/space.h"
#include "engine/catalogue/catalogue.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace engine {

struct BookOptions {
    std::string machine_name = "tablet"; ///< "T-03"; used once, when the book is made
    std::string plant        = "saltmarsh";
    PlantMark   mark         = {}; ///< which plant of that name; used once, when the book is made
    std::optional<std::array<unsigned char, 32>> seed = std::nullopt; ///< fixed key for demo and tests
    Io*                                          io   = nullptr;      ///< default: disk_io()
    std::uint64_t ballast_bytes = 0; ///< kept free for the step in hand when the disk is full; 0: none
    bool read_only  = false; ///< a second Book beside the writer: every change is refused with Fault::locked
    bool one_moment = false; ///< with read_only: all that is read is the book as it stood when it was opened
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

    /// Signs and stores one entry; durable when it returns. Disk full: the ballast is given up for it; when
    /// there is none (any more) Fault::no_space and nothing changed.
    [[nodiscard]] Result<Kept> append(const Draft& draft);
    [[nodiscard]] Result<std::vector<Kept>>
    append_all(const std::vector<Draft>& drafts); ///< one transaction: all or none
    /// Another machine's verified entries, in sequence order; idempotent. All or none. A second entry for one
    /// (dev, seq) begins a branch beside the first: `forks` names it. Durable with the next own entry or
    /// mark. Faults: corrupt (gap or prev does not fit) naming machine and sequence, bad_input (another
    /// plant), unknown_signer (the plant has a roster and the machine is not on it).
    struct SetAside { ///< kept, but the roster says it does not count
        std::uint64_t seq = 0;
        std::string   code, sentence;
    };
    struct Received {
        int                   fresh = 0;
        std::vector<SetAside> set_aside;
    };
    [[nodiscard]] Result<Received> receive(const std::vector<Entry>& entries);
    [[nodiscard]] Result<int>      take_in(const std::vector<Entry>& entries); ///< number of new ones

    /// Whether any work on the job was recorded: from then on it is what its opening said.
    [[nodiscard]] bool has_begun(const std::string& job) const;
    /// Openings of a job's number that say something else than the one that counts and came after work had
    /// begun, or from another machine: another job that was given the same number.
    [[nodiscard]] std::vector<Entry> openings_that_do_not_count(const std::string& job) const;
    [[nodiscard]] std::vector<Entry> entries_of_job(const std::string& job) const; ///< in shown order
    /// The signed lines of the same entries, as they are stored: not taken apart, not verified.
    [[nodiscard]] std::vector<std::string> lines_of_job(const std::string& job) const;
    [[nodiscard]] std::vector<Entry>       entries_of_kind(const std::string& kind) const;
    [[nodiscard]] std::vector<Entry>       entries_between(std::int64_t from_wall_ms,
                                                           std::int64_t to_wall_ms) const;
    [[nodiscard]] std::vector<Entry>       entries_of_machine(const std::string& dev, std::uint64_t from_seq,
                                                              std::size_t most) const;
    [[nodiscard]] std::optional<Entry>     entry(const std::string& id) const;
    [[nodiscard]] std::size_t              size() const;
    /// Good, or the first failure of a read since the book was opened: lists may then be short.
    [[nodiscard]] Status        trouble() const;
    [[nodiscard]] std::uint64_t version() const; ///< changes with every append or take_in: caches key on it
    /// The version at which something last came in that can change the state of this job: an entry of it, a
    /// sheet, person or instrument, another roster.
    [[nodiscard]] std::uint64_t version_of_job(const std::string& job) const;
    /// Numbers of the jobs whose record is not accepted yet: none of them ends, in shown order, with a
    /// countersign, and none was ended (`job.end`). Years of accepted ones cost nothing.
    [[nodiscard]] const std::vector<std::string>& open_jobs() const;
    /// Jobs in which a serial, lock or tag number was given or planned.
    [[nodiscard]] std::vector<std::string> jobs_naming(const std::string& text) const;

    struct Machine {
        std::string   dev, name;
        std::uint64_t last_seq = 0;
        std::string   last_id;
        bool          self = false;
        std::string   branch; ///< of a fork: start of the id it begins with; empty for the chain met first
    };
    [[nodiscard]] std::vector<Machine> machines() const;
    [[nodiscard]] const std::string&   device() const;
    [[nodiscard]] const std::string&   machine_name() const;
    [[nodiscard]] const std::string&   plant() const;
    [[nodiscard]] const PlantMark&     plant_mark() const; ///< without an id until one is known
    /// Whether anything of that plant may be taken. Faults: bad_input (another plant of this name, or an
    /// invented one while this book holds more than its machine said of itself).
    [[nodiscard]] Status is_this_plant(const PlantMark& mark) const;
    /// This machine belongs to that plant from now on, as an entry of its own; nothing when it does already
    /// or the mark is empty. Faults as above.
    [[nodiscard]] Status                       adopt_plant(const PlantMark& mark);
    [[nodiscard]] const std::filesystem::path& file() const;

    [[nodiscard]] const Catalogue& catalogue() const; ///< rebuilt when version() moves

    /// Roster: FORMAT.md section 9. Without a trusted plant key the plant is unenrolled and everything
    /// stands.
    [[nodiscard]] const Roster& roster() const;
    /// Trusts this plant key from now on, as an entry of this machine; statements kept beside the book are
    /// read again. Faults: bad_input (no valid key).
    [[nodiscard]] Status trust_root(const std::string& key_hex);
    /// Statements in any order; those that follow are kept for ever. Number of new ones; faults of
    /// open_statement and Roster::apply by the first that cannot be taken: what came before it stays.
    [[nodiscard]] Result<int>              take_statements(const std::vector<std::string>& lines);
    [[nodiscard]] std::vector<std::string> statements() const; ///< lines, in order
    /// Entries the roster sets aside, with the machine's name in the sentence; at most `most`.
    struct Barred {
        std::string   dev;
        std::uint64_t seq = 0;
        std::string   code, sentence;
        std::string   id; ///< of the entry
    };
    [[nodiscard]] std::vector<Barred> barred(std::size_t most) const;
    [[nodiscard]] std::size_t         barred_count() const;
    /// The draft with the person's signature, when the plant is enrolled and the kind asks for one; the key
    /// is in FILE.d/person, locked by the PIN. Faults: not_found (no key here), refused (PIN, or the
    /// plant's list would set the entry aside).
    [[nodiscard]] Result<Draft> signed_by_person(Draft draft, std::string_view pin) const;
    /// The same for drafts of one person, such as a planner's file: all or none. Takes a moment on purpose.
    [[nodiscard]] Result<std::vector<Draft>> signed_by_person(std::vector<Draft> drafts,
                                                              std::string_view   pin) const;
    [[nodiscard]] std::filesystem::path      person_key_file(const std::string& badge) const;

    /// One identity that signs on two machines: two entries that follow one and the same.
    struct Fork {
        std::string   dev, name;
        std::uint64_t seq = 0;
        std::string   ids[2]; ///< sorted
    };
    [[nodiscard]] std::vector<Fork> forks() const;
    /// A last `retire` entry with the old key, a new key, a `genesis` that continues: work goes on at once.
    [[nodiscard]] Status replace_key(const std::string& reason);
    struct Retired { ///< an own chain of a replaced key
        std::string   dev;
        std::uint64_t last_seq = 0, sent = 0;
    };
    [[nodiscard]] std::vector<Retired> retired() const;
    [[nodiscard]] Status               mark_sent(const std::string& retired_dev, std::uint64_t seq);

    /// Root of the tree over the first `size` entries of a machine (FORMAT.md section 8); none when the book
    /// has fewer.
    [[nodiscard]] std::optional<Hash>        tree_root(const std::string& dev, std::uint64_t size);
    [[nodiscard]] std::optional<std::string> id_at(const std::string& dev, std::uint64_t seq) const;
    struct Proof {
        std::uint64_t     seq = 0, size = 0;
        std::vector<Hash> beside;
        Hash              root{};
    };
    /// That each of these entries is among the first `size` of its machine; the tree is made once for all of
    /// them. Fault::not_found.
    [[nodiscard]] Result<std::vector<Proof>>
    prove(const std::string& dev, std::span<const std::uint64_t> seqs, std::uint64_t size) const;

    [[nodiscard]] PhotoStore&              photos();
    [[nodiscard]] std::vector<std::string> photo_hashes() const; ///< all photos any entry names, sorted
    /// Those of them that should be here, behind `after`, at most `most`: all but the ones let go.
    [[nodiscard]] std::vector<std::string> photos_cared_for(const std::string& after, std::size_t most) const;

    [[nodiscard]] Space space() const;
    /// Writes the last own lines as text beside the index, where they are not yet: for a quiet moment.
    /// Closing the book does it too, and a start after a cut makes it up.
    void write_own_lines();
    /// Puts the ballast back when there is room for it again. Faults: io; no room is none.
    [[nodiscard]] Status tend_space();
    /// in_folder: let go, can be fetched back; asked_for: the next exchange brings it.
    enum class PhotoPlace { here, in_folder, asked_for, missing };
    [[nodiscard]] PhotoPlace photo_place(const std::string& sha256) const;
    /// Photos whose entries all stand in the folder and were read there by another machine, oldest first.
    [[nodiscard]] std::vector<std::string> photos_that_may_leave(std::size_t most) const;
    /// Notes that the photo is not needed here and removes the file: only one of the above, and only after
    /// its copy in the folder was read and had its hash. Faults: refused (not one of the above), io.
    [[nodiscard]] Status      let_go(const std::string& sha256);
    [[nodiscard]] Status      want_back(const std::string& sha256); ///< the next exchange brings it
    [[nodiscard]] std::size_t photos_let_go() const;                ///< how many are in the folder only

    /// Outbox. Own lines above the published mark are still to send; marks only rise.
    [[nodiscard]] std::uint64_t published_seq() const;
    [[nodiscard]] Status        mark_published(std::uint64_t seq);
    /// Own entries about jobs from this one on, in their order.
    [[nodiscard]] std::vector<Brief> own_briefs(std::uint64_t from_seq) const;
    [[nodiscard]] std::uint64_t      read_back_seq() const; ///< own entries so far are read_back
    [[nodiscard]] Reach
    reach(const Entry& entry) const; ///< read_back: some other machine's witness covers it
    /// Remembers that a file of the folder was verified (name is content hash), so the next pass skips it.
    [[nodiscard]] bool   seen_file(const std::string& name) const;
    [[nodiscard]] Status mark_seen(const std::string& name);
    [[nodiscard]] Status mark_seen(const std::vector<std::string>& names); ///< in one transaction

    friend std::string state_hash(const Book& book);

  private:
    struct Inside;
    explicit Book(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

struct CheckReport {
    std::size_t entries = 0, signatures = 0, photos = 0, photos_missing = 0;
    std::size_t photos_away = 0; ///< let go: they are in the folder
    std::size_t taken_over  = 0; ///< of the entries: signatures proved by the check that was stopped
    std::size_t breaks      = 0;
    bool        whole       = true;
    std::string first_break; ///< one sentence: machine, sequence, what does not fit; empty when whole
    std::string last_break;  ///< likewise; with the first one it names the extent
};
/// How far a check has come: of each chain the last entry proved and SHA-256 over all its lines so far, each
/// with LF. A resumed check hashes those lines again and takes over nothing when the hash differs.
struct CheckedSoFar {
    struct Chain {
        std::uint64_t seq = 0;
        std::string   lines_sha256; ///< hex
    };
    std::map<std::string, Chain> chains; ///< by machine (and branch)
};
/// Proves the whole book: every line canonical, hashed, signed, chained; every photo named is there with its
/// hash. `so_far` is taken over from and kept up to date. Stopped by `progress`: Fault::refused, and `so_far`
/// says how far.
[[nodiscard]] Result<CheckReport>
check_book(const std::filesystem::path&                                  file,
           const std::function<bool(std::size_t done, std::size_t all)>& progress = {},
           CheckedSoFar*                                                 so_far   = nullptr);

/// SHA-256 over all ids in shown order: equal on two machines that know the same entries.
[[nodiscard]] std::string state_hash(const Book& book);

} // namespace engine
