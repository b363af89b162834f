#pragma once
// Enrolling, whoever asks for it, a command or a screen: the codes people show each other, what a folder
// offers, and what the holder of the plant key says next. engine/book/FORMAT.md section 9.
#include "engine/book/book.h"
#include "sync/folder.h"

#include <nlohmann/json_fwd.hpp>

#include <filesystem>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace share {

/// "WM1:<plant>:<name>:<64 hex>": what a machine or person shows, as text or QR code.
struct EnrolCode {
    std::string plant, name, key;
    bool        person = false; ///< "WM1P:": name is the badge
};
[[nodiscard]] std::string               text_of(const EnrolCode& code);
[[nodiscard]] engine::Result<EnrolCode> enrol_code(const std::string& text);
/// Fault::bad_input, naming both plants, when the code is of another plant.
[[nodiscard]] engine::Status of_this_plant(const engine::Book& book, const EnrolCode& code);
/// Of this very machine.
[[nodiscard]] EnrolCode own_code(const engine::Book& book);

/// 16 hex digits in groups of four: what is compared by eye between two tablets.
[[nodiscard]] std::string figures_of(const std::string& key_hex);

/// What the plant key shall say. The makers below look at the book only; nothing is signed yet.
struct Saying {
    std::string                           kind;
    std::shared_ptr<const nlohmann::json> body;
};
/// The first of all: the plant key itself, and which plant it is of.
[[nodiscard]] Saying plant_begins(const std::string& plant_key, const engine::PlantMark& mark = {});
/// A machine, or another role for one that is enrolled. Faults: bad_input (a person's code, another plant, no
/// such role), conflict (revoked).
[[nodiscard]] engine::Result<Saying> machine_joins(const engine::Book& book, const EnrolCode& code,
                                                   const std::string& role);
/// `last`: the last entry that counts; otherwise the last one in this book. Faults: not_found.
[[nodiscard]] engine::Result<Saying> machine_leaves(const engine::Book& book, const std::string& dev,
                                                    const std::string&           reason,
                                                    std::optional<std::uint64_t> last = std::nullopt);
/// Faults: bad_input (a machine's code, another plant).
[[nodiscard]] engine::Result<Saying> person_joins(const engine::Book& book, const EnrolCode& code,
                                                  const std::string& role, const std::string& name);
/// What the key signed up to now, as far as this book knows, counts. Faults: not_found.
[[nodiscard]] engine::Result<Saying> person_leaves(const engine::Book& book, const std::string& key,
                                                   const std::string& reason);

/// Entries that were set aside count from now on.
[[nodiscard]] Saying entries_count(const std::vector<std::string>& ids, const std::string& reason);

/// A person's key, made here and locked by the PIN; its 64 hex. Touches `file` alone: any thread; takes a
/// moment on purpose. `pin_check` (Person::pin_check) empty: no PIN to compare with. Faults: refused (not
/// that person's PIN), conflict (there is one), io.
struct PersonKeyWish {
    std::filesystem::path file; ///< Book::person_key_file
    std::string           badge, pin, pin_check;
};
[[nodiscard]] engine::Result<std::string> make_person_key(const PersonKeyWish& wish);

/// The next statement, signed and taken into the book.
[[nodiscard]] engine::Status say(engine::Book& book, const engine::MachineKey& key, const Saying& saying,
                                 std::int64_t now_ms);

/// Last entry of a machine in this book, 0 when there is none.
[[nodiscard]] std::uint64_t last_entry_of(const engine::Book& book, const std::string& dev);
/// The machine of the roster or book that `text` names: 64 hex, its first 16 of the hash, or its name.
[[nodiscard]] engine::Result<std::string> machine_named(const engine::Book& book, const std::string& text);

/// What a folder holds for someone who is to be enrolled, or who enrols.
struct FolderOffer {
    std::vector<std::string> statements; ///< lines, by number
    std::vector<std::string> plant_keys; ///< 64 hex: each begins a list for this plant
    std::vector<EnrolCode>   machines;   ///< that wrote here for this plant and are not in `known`, by name
    int                      unreadable = 0; ///< machines whose first entry cannot be read
};
/// Touches no book: any thread. `known`: device folders not to look into. Faults: io, not_found.
[[nodiscard]] engine::Result<FolderOffer> look_into(Folder& folder, const std::string& plant,
                                                    const std::set<std::string>& known);
/// Device folders of every machine on the list, and of this one.
[[nodiscard]] std::set<std::string> known_folders(const engine::Book& book);

/// Trusts this plant key and takes its list. Number of statements. Faults: not_found (no list of that key is
/// offered), and those of Book::trust_root and Book::take_statements.
[[nodiscard]] engine::Result<int> trust_offered(engine::Book& book, const FolderOffer& offer,
                                                const std::string& plant_key);

} // namespace share
