#include "engine/book/ledger.h"

#include "engine/book/tables.h"

#include <nlohmann/json.hpp>

#include <array>
#include <fstream>
#include <system_error>

namespace engine {
namespace {

constexpr std::int64_t     kApplication  = 0x574d424b; // "WMBK"
constexpr std::size_t      kBranchDigits = 16;
constexpr std::string_view kSqliteHead{"SQLite format 3\0", 16};

Failure not_a_book(const std::filesystem::path& file)
{
    return failure(Fault::corrupt,
                   file.filename().string() +
                       " is not a book: another program made it, and it was left as it is. "
                       "Choose another file.",
                   file.string());
}

/// Looks at the first bytes only, so that no program's file is touched by ours.
bool starts_foreign(const std::filesystem::path& file)
{
    std::ifstream        in(file, std::ios::binary);
    std::array<char, 16> head{};
    in.read(head.data(), head.size());
    const std::string_view got(head.data(), static_cast<std::size_t>(in.gcount()));
    return !got.empty() && got != kSqliteHead;
}

} // namespace

std::int64_t Ledger::place_of(std::int64_t machine, std::uint64_t seq)
{
    return (machine << kSeqBits) + static_cast<std::int64_t>(seq);
}

Result<Ledger> Ledger::open(const std::filesystem::path& file, Db::Mode mode)
{
    std::error_code none;
    if (!std::filesystem::exists(file, none) && mode != Db::Mode::make)
        return failure(Fault::not_found, "There is no book " + file.filename().string() + " in that place.",
                       file.string());
    if (std::filesystem::is_directory(file, none) || starts_foreign(file)) return not_a_book(file);
    auto opened = Db::open(file, mode);
    if (!opened) return opened.failure();
    auto               db          = std::make_unique<Db>(std::move(*opened));
    const std::int64_t application = ask_number(*db, "PRAGMA application_id");
    const std::int64_t things      = ask_number(*db, "SELECT count(*) FROM sqlite_schema");
    if (!db->first_trouble()) return db->first_trouble().failure();
    const bool is_new = application == 0 && things == 0 && mode == Db::Mode::make;
    if (!is_new && application != kApplication) return not_a_book(file);
    if (!is_new && ask_number(*db, "PRAGMA user_version") > kTablesVersion)
        return failure(Fault::unsupported, "The book " + file.filename().string() +
                                               " was written by a newer program; update this machine.");
    if (mode != Db::Mode::read)
        if (Status set = db->make_durable(); !set) return set.failure();
    if (Status made = bring_up(*db, is_new, mode); !made) return made.failure();
    Ledger ledger(std::move(db));
    ledger.reload_self();
    return ledger;
}

void Ledger::reload_self()
{
    const std::int64_t self = mark("self");
    self_                   = self > 0 ? self : 1;
}

Status Ledger::set_self(std::int64_t number)
{
    // The chain of the key before stays an own one.
    if (Status set = set_mark(("own " + std::to_string(self_)).c_str(), 1); !set) return set;
    return set_mark("self", number);
}

bool Ledger::is_own(std::int64_t number) const
{
    return number == self_ || mark(("own " + std::to_string(number)).c_str()) == 1;
}

Result<std::int64_t> Ledger::new_branch(const Entry& first, const std::string& name)
{
    const std::string row    = first.dev + "#" + first.id.substr(0, kBranchDigits);
    auto              number = number_for(row);
    if (!number) return number;
    Query named(*db_, "UPDATE machine SET name = ?2 WHERE number = ?1");
    if (Status run = named.bind(1, *number).bind(2, name).run(); !run) return run.failure();
    return number;
}

Status Ledger::bar(std::int64_t machine, std::uint64_t seq, const std::string& code,
                   const std::string& sentence)
{
    Query add(*db_, "INSERT OR REPLACE INTO barred(place, code, sentence) VALUES(?1, ?2, ?3)");
    return add.bind(1, place_of(machine, seq)).bind(2, code).bind(3, sentence).run();
}

Result<std::int64_t> Ledger::number_for(const std::string& dev)
{
    if (const auto known = number_of(dev)) return *known;
    Query add(*db_, "INSERT INTO machine(dev, name) VALUES(?1, '')");
    if (Status run = add.bind(1, dev).run(); !run) return run.failure();
    const auto number = number_of(dev);
    if (!number) return db_->trouble("be written");
    return *number;
}

Status Ledger::insert(const Entry& entry, std::int64_t machine)
{
    const auto id = hash_from_hex(entry.id);
    if (!id) return id.failure();
    {
        Query add(*db_, "INSERT INTO entry(place, id, job, kind, wall_ms, hlc_ms, hlc_c, line) "
                        "VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)");
        add.bind(1, place_of(machine, entry.seq)).bind_bytes(2, id->data(), id->size());
        if (!entry.said.job.empty()) add.bind_held(3, entry.said.job);
        add.bind_held(4, entry.said.kind).bind(5, entry.wall_ms).bind(6, entry.hlc_ms).bind(7, entry.hlc_c);
        if (Status run = add.bind_held(8, entry.line).run(); !run) return run;
    }
    if (Status said = insert_said(entry, machine); !said) return said;
    return insert_beside(*db_, entry, place_of(machine, entry.seq));
}

Status Ledger::insert_said(const Entry& entry, std::int64_t machine)
{
    if (entry.said.kind == kind::genesis) {
        const nlohmann::json& body = entry.body();
        if (!body.contains("name") || !body["name"].is_string()) return Unit{};
        Query name(*db_, "UPDATE machine SET name = ?2 WHERE number = ?1");
        return name.bind(1, machine).bind(2, body["name"].get_ref<const std::string&>()).run();
    }
    if (entry.said.kind != kind::witness) return Unit{};
    const nlohmann::json& body  = entry.body();
    const bool            whole = body.contains("dev") && body["dev"].is_string() && body.contains("seq") &&
                       body["seq"].is_number_integer();
    if (!whole || body["dev"] == entry.dev) return Unit{};
    Query saw(*db_, "INSERT INTO witness(dev, by, seq) VALUES(?1, ?2, ?3) "
                    "ON CONFLICT(dev, by) DO UPDATE SET seq = max(seq, excluded.seq)");
    saw.bind(1, body["dev"].get_ref<const std::string&>()).bind(2, machine);
    return saw.bind(3, body["seq"].get<std::int64_t>()).run();
}

Status Ledger::set_mark(const char* name, std::int64_t value)
{
    Query set(*db_, "INSERT INTO mark(name, value) VALUES(?1, ?2) "
                    "ON CONFLICT(name) DO UPDATE SET value = excluded.value");
    return set.bind(1, std::string_view(name)).bind(2, value).run();
}

Status Ledger::set_seen(const std::string& file)
{
    Query set(*db_, "INSERT OR IGNORE INTO seen(name) VALUES(?1)");
    return set.bind(1, file).run();
}

} // namespace engine
