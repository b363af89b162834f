#pragma once
// The tables of a book: entries by place, id, job, kind and time. Knows no signatures and no rules of the
// chain; whoever inserts has checked. Private to engine/book.
#include "engine/book/entry.h"
#include "engine/book/store.h"

#include <functional>
#include <optional>
#include <set>

namespace engine {

/// Where the chain of one machine stands.
struct Tail {
    std::uint64_t seq    = 0;
    std::string   id     = std::string(64, '0');
    std::int64_t  hlc_ms = 0, hlc_c = -1;
};

class Ledger {
  public:
    /// Opens tables; makes them with Mode::make when the file is new or empty. Faults: those of Db::open,
    /// corrupt (a file of another program), unsupported (newer tables).
    [[nodiscard]] static Result<Ledger> open(const std::filesystem::path& file, Db::Mode mode);

    [[nodiscard]] Db& db() const { return *db_; }

    /// Number of the machine the book belongs to: 1, until its key was replaced.
    [[nodiscard]] std::int64_t self() const { return self_; }
    [[nodiscard]] Status       set_self(std::int64_t number); ///< in force with `reload_self`
    void                       reload_self();
    /// Chains of this very machine: the present one and those of replaced keys.
    [[nodiscard]] bool is_own(std::int64_t number) const;

    /// Number of a machine; a new one gets the next number.
    [[nodiscard]] Result<std::int64_t>        number_for(const std::string& dev);
    [[nodiscard]] std::optional<std::int64_t> number_of(const std::string& dev) const;
    [[nodiscard]] std::string                 dev_of(std::int64_t number) const; ///< empty: none
    [[nodiscard]] std::string                 name_of(std::int64_t number) const;
    struct Machine {
        std::int64_t number = 0;
        std::string  dev, name;
        std::string  branch; ///< start of the id it begins with, for the later met branch of a fork
    };
    /// A further chain of one identity, that begins with this entry.
    [[nodiscard]] Result<std::int64_t> new_branch(const Entry& first, const std::string& name);
    struct Where {
        std::int64_t  number = 0;
        std::uint64_t seq    = 0;
        std::int64_t  hlc_ms = 0, hlc_c = 0;
    };
    [[nodiscard]] std::optional<Where> where(const std::string& id) const;
    [[nodiscard]] std::vector<Machine> machines() const;

    /// The entry, its photos, its name (genesis) and what it witnesses. Inside the caller's transaction.
    [[nodiscard]] Status insert(const Entry& entry, std::int64_t machine);

    [[nodiscard]] Tail                       tail_of(std::int64_t machine) const;
    [[nodiscard]] std::optional<std::string> id_at(std::int64_t machine, std::uint64_t seq) const;
    [[nodiscard]] std::vector<Entry>         of_job(const std::string& job) const;       ///< in shown order
    [[nodiscard]] std::vector<std::string>   lines_of_job(const std::string& job) const; ///< in shown order
    [[nodiscard]] std::vector<Entry>         of_kind(const std::string& kind) const;
    /// Jobs a serial, lock or tag number was given or planned in.
    [[nodiscard]] std::vector<std::string> jobs_naming(const std::string& text) const;
    /// Jobs whose last review in shown order is a countersign.
    [[nodiscard]] std::set<std::string> countersigned() const;
    [[nodiscard]] std::vector<Entry>    between(std::int64_t from_ms, std::int64_t to_ms) const;
    [[nodiscard]] std::vector<Entry>    of_machine(std::int64_t machine, std::uint64_t from,
                                                   std::size_t most) const;
    /// Of one machine's entries about jobs, seq `from` and up.
    [[nodiscard]] std::vector<Brief>   briefs(std::int64_t machine, std::uint64_t from) const;
    [[nodiscard]] std::optional<Entry> with_id(const std::string& id) const;
    /// Lines of one machine as text, each with LF, seq `from` and up, at most `most`.
    [[nodiscard]] std::string lines(std::int64_t machine, std::uint64_t from, std::size_t most) const;
    [[nodiscard]] std::size_t size() const; ///< by the ends of the chains: they have no gaps
    /// Set aside by the roster: kept, but no part of the state. Lists leave such entries out.
    [[nodiscard]] Status bar(std::int64_t machine, std::uint64_t seq, const std::string& code,
                             const std::string& sentence);
    struct Barred {
        std::int64_t  number = 0;
        std::uint64_t seq    = 0;
        std::string   code, sentence;
    };
    [[nodiscard]] std::vector<Barred> barred(std::size_t most) const;
    [[nodiscard]] std::size_t         barred_count() const;

    /// Ids (hex) in the order (hlc, dev, seq, id), without those set aside.
    void each_id(const std::function<void(const std::string& id)>& visit) const;

    [[nodiscard]] std::vector<std::string> photo_hashes() const;
    /// Photos entries name, by the oldest entry first; until `visit` says false.
    void each_photo(const std::function<bool(const std::string& sha256)>& visit) const;
    /// The same in the order of hashes, from the next one behind `after` on.
    void                             each_photo_behind(const std::string&                                    after,
                                                       const std::function<bool(const std::string& sha256)>& visit) const;
    [[nodiscard]] std::vector<Where> naming(const std::string& sha256) const; ///< number and seq alone
    /// As `witnessed`, one more machine not counted.
    [[nodiscard]] std::uint64_t witnessed_beside(const std::string& dev, std::int64_t not_by) const;
    /// How many marks whose name begins so are worth that.
    [[nodiscard]] std::size_t   marked(const std::string& prefix, std::int64_t value) const;
    [[nodiscard]] std::uint64_t witnessed(const std::string& dev) const; ///< by machines other than `dev`
    [[nodiscard]] std::int64_t  mark(const char* name) const;            ///< 0 when never set
    [[nodiscard]] Status        set_mark(const char* name, std::int64_t value);
    [[nodiscard]] bool          seen(const std::string& file) const;
    [[nodiscard]] Status        set_seen(const std::string& file);
    /// Moves when another connection has committed.
    [[nodiscard]] std::uint64_t data_version() const;

    static constexpr unsigned         kSeqBits = 40; ///< of a place; above them the machine's number
    [[nodiscard]] static std::int64_t place_of(std::int64_t machine, std::uint64_t seq);

  private:
    explicit Ledger(std::unique_ptr<Db> db) : db_(std::move(db)) {}
    [[nodiscard]] std::vector<Entry> read(Query& query) const;
    void take(Result<Entry> entry, std::vector<Entry>& into) const; ///< or notes why it cannot be read
    /// What the book keeps of it apart: a machine's name, what was seen of another.
    [[nodiscard]] Status insert_said(const Entry& entry, std::int64_t machine);

    std::unique_ptr<Db> db_;
    std::int64_t        self_ = 1;
};

/// Photos an entry names in its body: `sha256` and each element of `photos`.
[[nodiscard]] std::vector<std::string> photos_named(const Entry& entry);

} // namespace engine
