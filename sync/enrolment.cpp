#include "sync/enrolment.h"

#include "engine/book/locked_key.h"
#include "sync/listing.h"
#include "sync/names.h"
#include "sync/segment.h"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace share {

using engine::failure;
using engine::Fault;
using engine::Result;
using nlohmann::json;
namespace kind = engine::statement_kind;

namespace {

constexpr std::size_t kMostWaiting = 200; ///< machines whose first entry is looked at

Saying saying(const char* what, json body)
{
    return {what, std::make_shared<const json>(std::move(body))};
}

/// Enough to know what was read, short enough for a sentence.
std::string shortened(const std::string& text)
{
    constexpr std::size_t kMost = 24;
    return text.size() <= kMost ? text : text.substr(0, kMost) + "...";
}

} // namespace

std::string text_of(const EnrolCode& code)
{
    return (code.person ? "WM1P:" : "WM1:") + code.plant + ":" + code.name + ":" + code.key;
}

Result<EnrolCode> enrol_code(const std::string& text)
{
    EnrolCode         code;
    const std::size_t first = text.find(':');
    const std::size_t last  = text.rfind(':');
    const std::size_t plant = first == std::string::npos ? first : text.find(':', first + 1);
    const std::string head  = text.substr(0, first);
    const bool shaped       = (head == "WM1" || head == "WM1P") && plant != std::string::npos && plant < last;
    if (!shaped)
        return failure(Fault::bad_input, "'" + shortened(text) +
                                             "' is no enrolment code; a tablet shows its own "
                                             "under Settings, and it begins with WM1:.");
    code.person = head == "WM1P";
    code.plant  = text.substr(first + 1, plant - first - 1);
    code.name   = text.substr(plant + 1, last - plant - 1);
    code.key    = text.substr(last + 1);
    if (!engine::is_key(code.key))
        return failure(Fault::bad_input, "The key in the enrolment code is not valid; read the code again.");
    return code;
}

engine::Status of_this_plant(const engine::Book& book, const EnrolCode& code)
{
    if (code.plant == book.plant()) return engine::Unit{};
    return failure(Fault::bad_input, code.name + " belongs to another plant (" + code.plant +
                                         "), this one is " + book.plant() + ".");
}

EnrolCode own_code(const engine::Book& book)
{
    return {book.plant(), book.machine_name(), book.device(), false};
}

std::string figures_of(const std::string& key_hex)
{
    constexpr std::size_t kGroup = 4;
    const std::string     digits = device_folder(key_hex);
    std::string           figures;
    for (std::size_t i = 0; i < digits.size(); i += kGroup)
        figures.append(i == 0 ? "" : " ").append(digits, i, kGroup);
    return figures;
}

Saying plant_begins(const std::string& plant_key, const engine::PlantMark& mark)
{
    json body{{"keys", json::array({plant_key})}, {"threshold", 1}};
    engine::put_plant_mark(body, mark);
    return saying(kind::root, std::move(body));
}

Result<Saying> machine_joins(const engine::Book& book, const EnrolCode& code, const std::string& role)
{
    if (code.person) return failure(Fault::bad_input, "That is a person's code, not a machine's.");
    if (engine::Status ours = of_this_plant(book, code); !ours) return ours.failure();
    if (!engine::machine_role_named(role))
        return failure(Fault::bad_input,
                       "A machine is recorder, supervisor, planner or auditor, not '" + role + "'.");
    const auto& machines = book.roster().machines();
    const auto  listed   = machines.find(code.key);
    if (listed != machines.end() && listed->second.revoked)
        return failure(Fault::conflict,
                       code.name + " was revoked; it needs a new book, and with it a new key.");
    json body{{"dev", code.key}, {"name", code.name}, {"role", role}};
    // What the machine wrote before the plant was enrolled, as far as it is known here, stays as it is.
    const std::uint64_t next                               = last_entry_of(book, code.key) + 1;
    body[listed != machines.end() ? "from" : "signs_from"] = next;
    if (role == engine::machine_role_name(engine::MachineRole::planner)) body["plans_from"] = next;
    return saying(kind::add, std::move(body));
}

Result<Saying> machine_leaves(const engine::Book& book, const std::string& dev, const std::string& reason,
                              std::optional<std::uint64_t> last)
{
    const std::uint64_t seq = last.value_or(last_entry_of(book, dev));
    const auto          id  = book.id_at(dev, seq);
    if (seq > 0 && !id)
        return failure(Fault::not_found,
                       "This book has no entry " + std::to_string(seq) + " of that machine.");
    return saying(kind::revoke,
                  {{"dev", dev}, {"last_seq", seq}, {"last_id", id.value_or("")}, {"reason", reason}});
}

Result<Saying> person_joins(const engine::Book& book, const EnrolCode& code, const std::string& role,
                            const std::string& name)
{
    if (!code.person) return failure(Fault::bad_input, "That is a machine's code, not a person's.");
    if (engine::Status ours = of_this_plant(book, code); !ours) return ours.failure();
    return saying(kind::person, {{"badge", code.name}, {"key", code.key}, {"role", role}, {"name", name}});
}

Result<Saying> person_leaves(const engine::Book& book, const std::string& key, const std::string& reason)
{
    const auto& persons = book.roster().persons();
    const auto  known   = persons.find(key);
    if (known == persons.end() || known->second.ended)
        return failure(Fault::not_found, "There is no such key in force.");
    json heads = json::array();
    for (const auto& machine : book.machines())
        if (machine.branch.empty()) heads.push_back({{"dev", machine.dev}, {"seq", machine.last_seq}});
    return saying(kind::person_end, {{"key", key}, {"reason", reason}, {"heads", heads}});
}

Saying entries_count(const std::vector<std::string>& ids, const std::string& reason)
{
    return saying(kind::accept, {{"ids", ids}, {"reason", reason}});
}

Result<std::string> make_person_key(const PersonKeyWish& wish)
{
    if (!wish.pin_check.empty() && !engine::pin_fits(wish.pin, wish.pin_check))
        return failure(Fault::refused, "That is not the PIN of badge " + wish.badge + ".");
    const engine::MachineKey key = engine::MachineKey::generate();
    const auto locked = engine::LockedKey::make(key, "person " + wish.badge, wish.pin, engine::Lock::quick);
    if (!locked) return locked.failure();
    std::error_code none; // what is wrong with the folder is told by the file that cannot be written
    std::filesystem::create_directories(wish.file.parent_path(), none);
    if (engine::Status saved = locked->save(wish.file); !saved) return saved.failure();
    return key.device();
}

engine::Status say(engine::Book& book, const engine::MachineKey& key, const Saying& saying,
                   std::int64_t now_ms)
{
    engine::Statement statement;
    statement.plant = book.plant();
    statement.seq   = book.roster().seq() + 1;
    statement.prev  = book.roster().head();
    statement.kind  = saying.kind;
    statement.at_ms = now_ms;
    statement.body  = saying.body;
    if (engine::Status sealed = engine::seal_statement(statement, key); !sealed) return sealed;
    const auto taken = book.take_statements({statement.line});
    if (!taken) return taken.failure();
    return engine::Unit{};
}

std::uint64_t last_entry_of(const engine::Book& book, const std::string& dev)
{
    for (const auto& machine : book.machines())
        if (machine.dev == dev && machine.branch.empty()) return machine.last_seq;
    return 0;
}

Result<std::string> machine_named(const engine::Book& book, const std::string& text)
{
    std::string found;
    const auto  look = [&](const std::string& dev, const std::string& name) {
        const bool fits = text == dev || text == name || text == device_folder(dev);
        if (fits && found != dev) found = found.empty() ? dev : "several";
    };
    for (const auto& [dev, machine] : book.roster().machines())
        look(dev, machine.name);
    for (const auto& machine : book.machines())
        look(machine.dev, machine.name);
    if (found == "several")
        return failure(Fault::bad_input,
                       "More than one machine is called '" + text + "'; name it by its key.");
    if (found.empty()) return failure(Fault::not_found, "No machine '" + text + "' is known in this book.");
    return found;
}

namespace {

std::vector<std::string> statements_in(Folder& folder, const Listing& listing)
{
    std::vector<std::string> lines;
    for (const RosterName& name : listing.roster) {
        const auto bytes = folder.read(path_of(name), engine::kLongestStatement + 1);
        if (bytes && !bytes->empty() && bytes->back() == '\n')
            lines.emplace_back(bytes->begin(), bytes->end() - 1);
    }
    return lines;
}

std::vector<std::string> plant_keys_of(const std::vector<std::string>& lines, const std::string& plant)
{
    std::vector<std::string> keys;
    for (const std::string& line : lines) {
        const auto statement = engine::open_statement(line);
        if (!statement || statement->kind != kind::root || statement->plant != plant) continue;
        if (std::find(keys.begin(), keys.end(), statement->by) == keys.end()) keys.push_back(statement->by);
    }
    return keys;
}

/// The code of a machine as its own first entry tells it, signed by its key; none when that cannot be read.
std::optional<EnrolCode> who_wrote(Folder& folder, const std::string& devid, const MachineListing& listing)
{
    for (const SegmentName& name : listing.segments) {
        if (name.first != 1) break;
        const auto bytes = folder.read(path_of(devid, name), kLargestSegment);
        if (!bytes) continue;
        const OpenedSegment opened = open_segment(*bytes, name, devid, "");
        if (opened.state != State::ok || opened.entries.empty()) continue;
        const engine::Entry& first = opened.entries.front();
        EnrolCode            code{first.plant, devid, first.dev, false};
        const auto           said = first.body().find("name");
        if (first.said.kind == engine::kind::genesis && said != first.body().end() && said->is_string())
            code.name = said->get<std::string>();
        return code;
    }
    return std::nullopt;
}

} // namespace

Result<FolderOffer> look_into(Folder& folder, const std::string& plant, const std::set<std::string>& known)
{
    const auto listing = list_folder(folder, "");
    if (!listing) return listing.failure();
    FolderOffer offer;
    offer.statements   = statements_in(folder, *listing);
    offer.plant_keys   = plant_keys_of(offer.statements, plant);
    std::size_t looked = 0;
    for (const auto& [devid, files] : listing->machines) {
        if (known.count(devid) > 0 || files.segments.empty()) continue;
        if (++looked > kMostWaiting) break;
        const auto code = who_wrote(folder, devid, files);
        if (!code)
            ++offer.unreadable;
        else if (code->plant == plant)
            offer.machines.push_back(*code);
    }
    std::stable_sort(offer.machines.begin(), offer.machines.end(),
                     [](const EnrolCode& a, const EnrolCode& b) { return a.name < b.name; });
    return offer;
}

std::set<std::string> known_folders(const engine::Book& book)
{
    std::set<std::string> known{device_folder(book.device())};
    for (const auto& [dev, machine] : book.roster().machines())
        known.insert(device_folder(dev));
    for (const auto& before : book.retired())
        known.insert(device_folder(before.dev));
    return known;
}

Result<int> trust_offered(engine::Book& book, const FolderOffer& offer, const std::string& plant_key)
{
    if (std::find(offer.plant_keys.begin(), offer.plant_keys.end(), plant_key) == offer.plant_keys.end())
        return failure(Fault::not_found,
                       "No enrolment list with that fingerprint lies in the folder; compare the "
                       "figures with the paper once more.");
    for (const std::string& line : offer.statements)
        if (const auto statement = engine::open_statement(line);
            statement && statement->by == plant_key && statement->kind == kind::root)
            if (engine::Status ours = book.is_this_plant(engine::plant_mark_in(*statement->body)); !ours)
                return ours.failure();
    if (engine::Status done = book.trust_root(plant_key); !done) return done.failure();
    // Statements of another key may lie beside ours; they are refused and harm nothing.
    const auto taken = book.take_statements(offer.statements);
    if (!taken && !book.roster().enrolled()) return taken.failure();
    return static_cast<int>(book.roster().seq());
}

} // namespace share
