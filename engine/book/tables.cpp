#include "engine/book/tables.h"

#include "engine/book/codec.h"
#include "engine/book/ledger.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <functional>

namespace engine {
namespace {

constexpr const char* kSchema = R"(
CREATE TABLE machine(number INTEGER PRIMARY KEY, dev TEXT NOT NULL UNIQUE, name TEXT NOT NULL) STRICT;
CREATE TABLE entry(place INTEGER PRIMARY KEY, id BLOB NOT NULL, job TEXT, kind TEXT NOT NULL, wall_ms INTEGER NOT NULL,
  hlc_ms INTEGER NOT NULL, hlc_c INTEGER NOT NULL, line TEXT NOT NULL) STRICT;
CREATE UNIQUE INDEX entry_id ON entry(id);
CREATE INDEX entry_job ON entry(job) WHERE job IS NOT NULL;
CREATE INDEX entry_kind ON entry(kind);
CREATE INDEX entry_wall ON entry(wall_ms);
CREATE TABLE photo(sha256 TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;
CREATE TABLE witness(dev TEXT NOT NULL, by INTEGER NOT NULL, seq INTEGER NOT NULL, PRIMARY KEY(dev, by)) STRICT, WITHOUT ROWID;
CREATE TABLE mark(name TEXT PRIMARY KEY, value INTEGER NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE seen(name TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;
PRAGMA application_id = 0x574d424b;
PRAGMA user_version = 1;
)";

/// What version 2 adds. A book of version 1 opened for reading gets them in memory, empty.
constexpr const char* kSecond         = R"(
CREATE TABLE barred(place INTEGER PRIMARY KEY, code TEXT NOT NULL, sentence TEXT NOT NULL) STRICT;
CREATE TABLE edge(number INTEGER PRIMARY KEY, size INTEGER NOT NULL, peaks BLOB NOT NULL) STRICT;
PRAGMA user_version = 2;
)";
constexpr const char* kSecondInMemory = R"(
CREATE TEMP TABLE barred(place INTEGER PRIMARY KEY, code TEXT NOT NULL, sentence TEXT NOT NULL) STRICT;
CREATE TEMP TABLE edge(number INTEGER PRIMARY KEY, size INTEGER NOT NULL, peaks BLOB NOT NULL) STRICT;
)";

/// What version 3 adds: which job a serial number stands in, and the lines of the catalogue in one place, for
/// a start with years of other entries between them. Kinds that fill the book are no longer in the index of
/// kinds.
constexpr const char* kThird         = R"(
CREATE TABLE named(text TEXT NOT NULL, job TEXT NOT NULL, PRIMARY KEY(text, job)) STRICT, WITHOUT ROWID;
CREATE TABLE plain(kind TEXT NOT NULL, place INTEGER NOT NULL, line TEXT NOT NULL, PRIMARY KEY(kind, place)) STRICT,
  WITHOUT ROWID;
CREATE TABLE pictured(hlc_ms INTEGER NOT NULL, place INTEGER NOT NULL, sha256 TEXT NOT NULL,
  PRIMARY KEY(hlc_ms, place, sha256)) STRICT, WITHOUT ROWID;
CREATE INDEX pictured_sha256 ON pictured(sha256);
DROP INDEX entry_kind;
CREATE INDEX entry_rare ON entry(kind, job, hlc_ms, hlc_c)
  WHERE kind NOT IN ('reading', 'choice', 'photo', 'code', 'done', 'witness');
PRAGMA user_version = 3;
)";
constexpr const char* kThirdInMemory = R"(
CREATE TEMP TABLE pictured(hlc_ms INTEGER NOT NULL, place INTEGER NOT NULL, sha256 TEXT NOT NULL,
  PRIMARY KEY(hlc_ms, place, sha256)) STRICT, WITHOUT ROWID;
CREATE TEMP TABLE named(text TEXT NOT NULL, job TEXT NOT NULL, PRIMARY KEY(text, job)) STRICT, WITHOUT ROWID;
CREATE TEMP TABLE plain(kind TEXT NOT NULL, place INTEGER NOT NULL, line TEXT NOT NULL, PRIMARY KEY(kind, place)) STRICT,
  WITHOUT ROWID;
)";

bool is_catalogue_kind(std::string_view kind)
{
    return kind == kind::unit || kind == kind::person || kind == kind::instrument || kind == kind::job_open;
}

/// Serial, lock and tag numbers an entry gives.
std::vector<std::string> names_in(const Entry& entry)
{
    std::vector<std::string> names;
    if (entry.said.kind == kind::code)
        if (auto text = entry.said.body.text_at("text")) names.push_back(std::move(*text));
    if (entry.said.kind != kind::job_open) return names;
    const nlohmann::json& body      = entry.body();
    const auto            positions = body.find("positions");
    if (positions == body.end() || !positions->is_array()) return names;
    for (const nlohmann::json& position : *positions) {
        const auto serial = position.is_object() ? position.find("serial") : position.end();
        if (serial != position.end() && serial->is_string()) names.push_back(serial->get<std::string>());
    }
    return names;
}

/// What version 3 keeps beside an entry; `photos` are those it names.
Status insert_third(Db& db, const Entry& entry, std::int64_t place, const std::vector<std::string>& photos)
{
    for (const std::string& name : names_in(entry)) {
        Query add(db, "INSERT OR IGNORE INTO named(text, job) VALUES(?1, ?2)");
        if (Status run = add.bind(1, name).bind(2, entry.said.job).run(); !run) return run;
    }
    for (const std::string& sha256 : photos) {
        Query add(db, "INSERT OR IGNORE INTO pictured(hlc_ms, place, sha256) VALUES(?1, ?2, ?3)");
        if (Status run = add.bind(1, entry.hlc_ms).bind(2, place).bind(3, sha256).run(); !run) return run;
    }
    if (!is_catalogue_kind(entry.said.kind)) return Unit{};
    Query add(db, "INSERT OR REPLACE INTO plain(kind, place, line) VALUES(?1, ?2, ?3)");
    return add.bind(1, entry.said.kind).bind(2, place).bind_held(3, entry.line).run();
}

/// Version 3 for a book of an earlier one.
Status fill_third(Db& db)
{
    Query query(
        db,
        "SELECT place, line FROM entry WHERE kind IN ('code', 'job.open', 'unit', 'person', 'instrument') "
        "OR instr(line, '\"sha256\":\"') > 0 OR instr(line, '\"photos\":[') > 0");
    while (query.row()) {
        const auto entry = read_trusted_line(query.text(1));
        if (!entry) continue; // the check names it; a start is not the place
        if (Status put = insert_third(db, *entry, query.whole(0), photos_named(*entry)); !put) return put;
    }
    return query.status();
}

Status make_tables(Db& db, const char* schema, bool third)
{
    Transaction made(db);
    if (!made.status()) return made.status();
    if (Status run = db.run(schema); !run) return run;
    if (third)
        if (Status filled = fill_third(db); !filled) return filled;
    return made.commit();
}

} // namespace

std::int64_t ask_number(Db& db, const char* sql)
{
    Query query(db, sql);
    return query.row() ? query.whole(0) : -1;
}

Status bring_up(Db& db, bool is_new, Db::Mode mode)
{
    if (is_new)
        if (Status made = make_tables(db, kSchema, false); !made) return made;
    const std::int64_t version = ask_number(db, "PRAGMA user_version");
    const bool         read    = mode == Db::Mode::read;
    if (version < 2)
        if (Status made = read ? db.run(kSecondInMemory) : make_tables(db, kSecond, false); !made)
            return made;
    if (version >= kTablesVersion) return Unit{};
    if (!read) return make_tables(db, kThird, true);
    if (Status made = db.run(kThirdInMemory); !made) return made;
    return fill_third(db);
}

Status insert_beside(Db& db, const Entry& entry, std::int64_t place)
{
    const std::vector<std::string> photos = photos_named(entry);
    for (const std::string& sha256 : photos) {
        Query add(db, "INSERT OR IGNORE INTO photo(sha256) VALUES(?1)");
        if (Status run = add.bind(1, sha256).run(); !run) return run;
    }
    return insert_third(db, entry, place, photos);
}

bool stands_beside(Db& db, const Entry& entry, std::int64_t place)
{
    for (const std::string& name : names_in(entry)) {
        Query named(db, "SELECT 1 FROM named WHERE text = ?1 AND job = ?2");
        if (!named.bind(1, name).bind(2, entry.said.job).row()) return false;
    }
    for (const std::string& sha256 : photos_named(entry)) {
        Query pictured(db, "SELECT 1 FROM pictured WHERE hlc_ms = ?1 AND place = ?2 AND sha256 = ?3");
        if (!pictured.bind(1, entry.hlc_ms).bind(2, place).bind(3, sha256).row()) return false;
    }
    if (!is_catalogue_kind(entry.said.kind)) return true;
    Query copy(db, "SELECT line FROM plain WHERE kind = ?1 AND place = ?2");
    copy.bind(1, entry.said.kind).bind(2, place);
    return copy.row() && copy.text(0) == entry.line;
}

std::vector<std::string> photos_named(const Entry& entry)
{
    // Most name none, and their text tells without being taken apart: canonical, so there is one way to write
    // it.
    static constexpr std::string_view               kOne = R"(sha256":")", kMany = R"(photos":[)";
    static const std::boyer_moore_horspool_searcher one(kOne.begin(), kOne.end()),
        many(kMany.begin(), kMany.end());
    const auto begin = entry.line.begin(), end = entry.line.end();
    if (std::search(begin, end, one) == end && std::search(begin, end, many) == end) return {};
    const nlohmann::json&    body = entry.body();
    std::vector<std::string> named;
    const auto               take = [&named](const nlohmann::json& value) {
        if (value.is_string() && hash_from_hex(value.get<std::string>()))
            named.push_back(value.get<std::string>());
    };
    if (const auto at = body.find("sha256"); at != body.end()) take(*at);
    if (const auto at = body.find("photos"); at != body.end() && at->is_array())
        for (const nlohmann::json& item : *at)
            take(item);
    return named;
}

} // namespace engine
