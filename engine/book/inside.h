#pragma once
// What a Book holds. Private to engine/book.
#include "engine/book/book.h"
#include "engine/book/codec.h"
#include "engine/book/ledger.h"
#include "engine/book/merkle.h"
#include "engine/book/own_lines.h"
#include "engine/book/posix_file.h"

#include <map>
#include <optional>
#include <set>
#include <tuple>
#include <unordered_map>

namespace engine {

inline constexpr const char* kBallastName = "ballast"; ///< in FILE.d

struct Book::Inside {
    Inside(std::filesystem::path book_file, const Clock& time, Ledger tables, Io& disk, bool reads_only);

    Inside(const Inside&)            = delete;
    Inside& operator=(const Inside&) = delete;
    ~Inside() { own.write_waiting(); }

    std::filesystem::path     file;
    const Clock*              clock;
    Io*                       io;
    bool                      read_only;
    OpenFile                  lock; ///< first in, last out: outlives the tables
    std::optional<MachineKey> key;  ///< none when read only
    Ledger                    ledger;
    OwnLines                  own;
    PhotoStore                photos;
    std::string               device, name, plant;
    PlantMark                 mark; ///< as the own entries say it
    std::string               boot; ///< asked once: a program does not outlive the start it was begun in

    Tail         tail;                        ///< of the own chain
    std::int64_t remote_ms = 0, remote_c = 0; ///< greatest received clock that counts
    std::int64_t last_wall_ms = 0, last_mono_ms = 0;
    std::string  last_boot;
    bool         has_last = false;

    // Each of these is the version at which the thing last moved.
    std::uint64_t version = 1, sheets_version = 1, jobs_version = 1, reviews_version = 1;
    std::unordered_map<std::string, std::uint64_t> job_versions; ///< of jobs with entries since the start

    // The catalogue: few sheets, made anew when one comes in, and many jobs, added one by one.
    Catalogue     catalogue;
    std::uint64_t sheets_made_at = 0, jobs_made_at = 0;
    using Shown = std::tuple<std::int64_t, std::int64_t, std::string, std::uint64_t, std::string>;
    std::map<std::string, Shown> job_openings; ///< place in shown order of the entry that opened each job
    std::set<std::string> opened_again; ///< jobs with more than one opening: a deed may settle which counts
    std::vector<std::string>   open_jobs;
    std::uint64_t              open_jobs_at = 0, reviews_at = 0; ///< versions they were listed at
    std::optional<std::size_t> size;

    /// The next entry of this machine; `tail` moves on.
    [[nodiscard]] Result<Entry> next_entry(const Draft& draft, const Instant& now, Tail& from) const;
    /// A `clock` entry when wall and monotonic time drifted apart since the last own entry.
    [[nodiscard]] std::optional<Draft> clock_step(const Instant& now) const;
    [[nodiscard]] Status               insert_own(const std::vector<Entry>& entries);
    void                               remember(const Entry& entry, std::int64_t number);
    void                               everything_moved();
    void                               take_job(const Entry& entry);
    void                               settle_job(const std::string& number);
    void                               make_catalogue(std::uint64_t sheets_at, std::uint64_t jobs_at);
    [[nodiscard]] Status               load_self();
    void                               load_mark();
    [[nodiscard]] Status               is_this_plant(const PlantMark& other) const;
    /// What another machine's `genesis` or `plant` says of its plant. Faults: bad_input (another one).
    [[nodiscard]] Status says_this_plant(const Entry& entry) const;
    [[nodiscard]] Status begin(const BookOptions& options);
    /// Goes on under a new key whose number the tables know already.
    [[nodiscard]] Status begin_again(const MachineKey& next, const std::string& old_dev,
                                     const std::string& last_id);

    std::uint64_t                       ballast_bytes = 0;
    [[nodiscard]] std::filesystem::path ballast_file() const;
    bool                                give_up_ballast() const; ///< false: there is none (any more)
    [[nodiscard]] bool                  stands_elsewhere(std::int64_t number, std::uint64_t seq) const;
    [[nodiscard]] bool                  may_leave(const std::string& sha256) const;

    std::map<std::int64_t, TreeEdge> edges; ///< of the chains that grew since the start
    [[nodiscard]] TreeEdge&          edge_before(std::int64_t number, std::uint64_t seq);
    void                             grow_tree(const Entry& entry, std::int64_t number);

    Roster                              roster;
    [[nodiscard]] std::filesystem::path roster_folder() const;
    /// The trusted key, the statements beside the book and, where they moved on, what they say to each entry.
    [[nodiscard]] Status load_roster();
    [[nodiscard]] Status judge_all();
    [[nodiscard]] Status judge_machine(const Ledger::Machine& machine);
    [[nodiscard]] bool   stands(const Entry& entry, std::int64_t number) const;
    [[nodiscard]] Status judge(const Entry& entry, std::int64_t number, std::vector<SetAside>* set_aside);
    /// The key of that person on this machine. Faults: not_found, refused (PIN).
    [[nodiscard]] Result<MachineKey> person_key(const std::string& badge, std::string_view pin) const;
    [[nodiscard]] Status             known_machine(const std::string& dev) const; ///< Fault::unknown_signer
    [[nodiscard]] Status             verify_tail(std::uint64_t how_many) const;
};

namespace book_parts {

/// The lock of the one writer. Faults: locked, io.
[[nodiscard]] Result<OpenFile> hold(const std::filesystem::path& file);
/// The key beside the book, made when there is none and no chain either. Faults: those of MachineKey.
[[nodiscard]] Result<MachineKey> key_beside(const std::filesystem::path& file, const BookOptions& options,
                                            bool chain_exists);
/// Puts the key of a replacement that was cut short into its place. Faults: io.
[[nodiscard]] Status finish_replacement(const std::filesystem::path& file, const Ledger& ledger);
/// Puts the own lines found as text back into an empty ledger. Number of entries; faults: corrupt.
[[nodiscard]] Result<std::uint64_t> rebuild(Ledger& ledger, const OwnLines& own, const std::string& device);
/// "machine T-03, entry 104"
[[nodiscard]] std::string place_name(const std::string& machine_name, const std::string& dev,
                                     std::uint64_t seq);
/// Where the own lines of that key stand; the second and later keys have a folder each.
[[nodiscard]] std::filesystem::path own_folder(const std::filesystem::path& file, const std::string& dev,
                                               bool replaced);
/// What a book answers that was opened for reading only.
[[nodiscard]] Failure               reads_only(const std::filesystem::path& file);
[[nodiscard]] std::filesystem::path beside(const std::filesystem::path& file, const char* ending);

} // namespace book_parts
} // namespace engine
