#pragma once
// The roster: which machines and persons belong to the plant, said by the plant key in a chain of signed
// statements. FORMAT.md section 9. Pure: the same statements make the same roster on every machine.
#include "engine/book/entry.h"
#include "engine/book/plant.h"

#include <nlohmann/json_fwd.hpp>

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

inline constexpr std::size_t kLongestStatement = 64UL * 1024UL; ///< bytes of the line

/// Spellings are for ever, as those of entries.
namespace statement_kind {
inline constexpr const char* root       = "root";
inline constexpr const char* rotate     = "root.rotate";
inline constexpr const char* add        = "add";
inline constexpr const char* revoke     = "revoke";
inline constexpr const char* person     = "person";
inline constexpr const char* person_end = "person.end";
inline constexpr const char* accept     = "accept";
} // namespace statement_kind

struct Statement {
    std::string                           id, plant, prev, kind, by;
    std::uint64_t                         seq   = 0;
    std::int64_t                          at_ms = 0;
    std::shared_ptr<const nlohmann::json> body;
    std::string                           line; ///< as stored, without LF
};

/// As `open_line`: signature, profile, hash. Faults: corrupt, bad_input, unsupported (newer `v` or a kind
/// nobody knows), bad_signature.
[[nodiscard]] Result<Statement> open_statement(std::string_view line);
/// Signs; sets id, by and line. Faults: bad_input.
[[nodiscard]] Status seal_statement(Statement& statement, const MachineKey& plant_key);

enum class MachineRole { recorder, supervisor, planner, auditor };
[[nodiscard]] const char*                machine_role_name(MachineRole role);
[[nodiscard]] std::optional<MachineRole> machine_role_named(std::string_view name);

struct RosterMachine {
    std::string name;
    struct Spell { ///< a role and the entry it holds from
        std::uint64_t from = 1;
        MachineRole   role = MachineRole::recorder;
    };
    std::vector<Spell> roles;
    std::uint64_t      signs_from = 1; ///< decisions from this entry on carry the person's signature
    /// Units, people, instruments and jobs from this entry on carry a planner's signature; none: never, as in
    /// lists of earlier versions.
    std::optional<std::uint64_t> plans_from;
    struct Revoked {
        std::uint64_t last_seq = 0;
        std::string   last_id, reason;
        std::int64_t  at_ms = 0;
    };
    std::optional<Revoked> revoked;
};
struct RosterPerson {
    std::string badge, name, role;                             ///< role as in entries: "supervisor"
    std::optional<std::map<std::string, std::uint64_t>> ended; ///< by dev: the last entry that still counts
    std::string                                         reason;
};

/// What the roster says to one entry. `code` empty: it stands.
struct Judgement {
    std::string        code, sentence;
    [[nodiscard]] bool stands() const { return code.empty(); }
};

class Roster {
  public:
    Roster() = default; ///< of an unenrolled plant: everything stands
    /// Trusts this key for this plant; statements follow by `apply`.
    Roster(std::string plant, std::string root_key) : plant_(std::move(plant)), root_(std::move(root_key)) {}

    /// The next statement. Faults: conflict (another statement with that number: R12), corrupt (does not
    /// follow), unknown_signer (not the plant key's), bad_input (what it says cannot be).
    [[nodiscard]] Status apply(const Statement& statement);

    [[nodiscard]] bool          trusts() const { return !root_.empty(); }
    [[nodiscard]] bool          enrolled() const { return !ids_.empty(); }
    [[nodiscard]] std::uint64_t seq() const { return ids_.size(); }
    [[nodiscard]] std::string   head() const { return ids_.empty() ? std::string(64, '0') : ids_.back(); }
    [[nodiscard]] const std::string& id_at(std::uint64_t seq) const { return ids_[seq - 1]; }
    [[nodiscard]] const std::string& root_key() const { return root_; }
    [[nodiscard]] const std::string& plant() const { return plant_; }
    /// As the first statement says it; without an id in lists of earlier versions.
    [[nodiscard]] const PlantMark& mark() const { return mark_; }

    /// Ends in the first of R04, R05, R09, R06 that fits.
    [[nodiscard]] Judgement judge(const Entry& entry) const;

    /// That machine is a planner's, and what it brings in at that entry carries a planner's own signature.
    [[nodiscard]] bool wants_planner(const std::string& dev, std::uint64_t seq) const;

    [[nodiscard]] const std::map<std::string, RosterMachine>& machines() const
    {
        return machines_;
    }                                                                                             ///< by dev
    [[nodiscard]] const std::map<std::string, RosterPerson>& persons() const { return persons_; } ///< by key
    [[nodiscard]] const std::set<std::string>&               accepted() const { return accepted_; } ///< ids

  private:
    [[nodiscard]] Status    take_in(const Statement& statement);
    [[nodiscard]] Status    add(const nlohmann::json& body);
    [[nodiscard]] Status    revoke(const Statement& statement);
    [[nodiscard]] Status    person(const nlohmann::json& body);
    [[nodiscard]] Status    end_person(const nlohmann::json& body);
    [[nodiscard]] Status    accept(const nlohmann::json& body);
    [[nodiscard]] Status    rotate(const Statement& statement);
    [[nodiscard]] Judgement judge_person(const Entry& entry, const RosterMachine& machine,
                                         const char* wanted_role) const;

    std::string                          plant_, root_;
    PlantMark                            mark_;
    std::vector<std::string>             ids_;
    std::map<std::string, RosterMachine> machines_;
    std::map<std::string, RosterPerson>  persons_;
    std::set<std::string>                accepted_;
};

/// First 32 hex digits of SHA-256 of the key, in groups of four: what is printed and compared by eye.
[[nodiscard]] std::string fingerprint_of(const std::string& key_hex);

/// Kinds a supervisor signs: decision, countersign, return.
[[nodiscard]] bool is_signed_by_person(const std::string& kind);
/// Kinds a planner signs: unit, person, instrument, job.open.
[[nodiscard]] bool is_signed_by_planner(const std::string& kind);
/// Adds `d.psig` and `d.pkey`: FORMAT.md section 9. The draft must not change afterwards.
[[nodiscard]] Status sign_as(Draft& draft, const MachineKey& person_key, const std::string& plant);
/// Whether the signature in the body is that key's over what the entry says.
[[nodiscard]] bool person_signature_fits(const Entry& entry);

} // namespace engine
