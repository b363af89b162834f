#include "engine/book/codec.h"
#include "engine/book/ledger.h"
#include "engine/book/shown_order.h"

#include <algorithm>
#include <array>
#include <map>
#include <utility>

namespace engine {
namespace {

constexpr std::size_t kDevDigits = 64;

/// Machine and sequence number a place is made of.
struct Spot {
    std::int64_t  number = 0;
    std::uint64_t seq    = 0;
};

Spot spot_of(std::int64_t place)
{
    const std::int64_t number = place >> Ledger::kSeqBits;
    return {number, static_cast<std::uint64_t>(place - Ledger::place_of(number, 0))};
}

Hash id_bytes(const Query& query, int column)
{
    const std::string_view bytes = query.text(column);
    Hash                   id{};
    std::copy_n(bytes.begin(), std::min(bytes.size(), id.size()), id.begin());
    return id;
}

std::string id_from(const Query& query, int column)
{
    return hex(id_bytes(query, column));
}

} // namespace

std::vector<Entry> Ledger::read(Query& query) const
{
    std::vector<Entry> entries;
    while (query.row())
        take(read_trusted_line(query.text(0)), entries);
    return entries;
}

void Ledger::take(Result<Entry> entry, std::vector<Entry>& into) const
{
    if (entry)
        into.push_back(std::move(*entry));
    else
        db_->note(entry.failure());
}

std::optional<std::int64_t> Ledger::number_of(const std::string& dev) const
{
    Query query(*db_, "SELECT number FROM machine WHERE dev = ?1");
    query.bind(1, dev);
    if (!query.row()) return std::nullopt;
    return query.whole(0);
}

std::string Ledger::dev_of(std::int64_t number) const
{
    Query query(*db_, "SELECT dev FROM machine WHERE number = ?1");
    query.bind(1, number);
    return query.row() ? std::string(query.text(0).substr(0, kDevDigits)) : std::string();
}

std::optional<Ledger::Where> Ledger::where(const std::string& id) const
{
    const auto bytes = hash_from_hex(id);
    if (!bytes) return std::nullopt;
    Query query(*db_, "SELECT place, hlc_ms, hlc_c FROM entry WHERE id = ?1");
    query.bind_bytes(1, bytes->data(), bytes->size());
    if (!query.row()) return std::nullopt;
    const auto [number, seq] = spot_of(query.whole(0));
    return Where{number, seq, query.whole(1), query.whole(2)};
}

std::vector<Ledger::Barred> Ledger::barred(std::size_t most) const
{
    std::vector<Barred> found;
    Query               query(*db_, "SELECT place, code, sentence FROM barred ORDER BY place LIMIT ?1");
    query.bind(1, static_cast<std::int64_t>(most));
    while (query.row()) {
        const auto [number, seq] = spot_of(query.whole(0));
        found.push_back({number, seq, std::string(query.text(1)), std::string(query.text(2))});
    }
    return found;
}

std::size_t Ledger::barred_count() const
{
    Query query(*db_, "SELECT count(*) FROM barred");
    return query.row() ? static_cast<std::size_t>(query.whole(0)) : 0;
}

std::string Ledger::name_of(std::int64_t number) const
{
    Query query(*db_, "SELECT name FROM machine WHERE number = ?1");
    query.bind(1, number);
    return query.row() ? std::string(query.text(0)) : std::string();
}

std::vector<Ledger::Machine> Ledger::machines() const
{
    std::vector<Machine> found;
    Query                query(*db_, "SELECT number, dev, name FROM machine ORDER BY number");
    while (query.row()) {
        const std::string dev(query.text(1));
        found.push_back({query.whole(0), dev.substr(0, kDevDigits), std::string(query.text(2)),
                         dev.size() > kDevDigits ? dev.substr(kDevDigits + 1) : std::string()});
    }
    return found;
}

Tail Ledger::tail_of(std::int64_t machine) const
{
    Tail  tail;
    Query query(*db_, "SELECT place, id, hlc_ms, hlc_c FROM entry WHERE place > ?1 AND place < ?2 "
                      "ORDER BY place DESC LIMIT 1");
    query.bind(1, place_of(machine, 0)).bind(2, place_of(machine + 1, 0));
    if (!query.row()) return tail;
    tail.seq    = static_cast<std::uint64_t>(query.whole(0) - place_of(machine, 0));
    tail.id     = id_from(query, 1);
    tail.hlc_ms = query.whole(2);
    tail.hlc_c  = query.whole(3);
    return tail;
}

std::optional<std::string> Ledger::id_at(std::int64_t machine, std::uint64_t seq) const
{
    Query query(*db_, "SELECT id FROM entry WHERE place = ?1");
    query.bind(1, place_of(machine, seq));
    if (!query.row()) return std::nullopt;
    return id_from(query, 0);
}

std::vector<std::string> Ledger::lines_of_job(const std::string& job) const
{
    Query query(*db_, "SELECT place, id, hlc_ms, hlc_c, line FROM entry WHERE job = ?1 "
                      "AND place NOT IN (SELECT place FROM barred)");
    std::map<std::int64_t, std::string> devs; // stay where they are
    std::vector<std::string>            found;
    std::vector<Shown>                  shown;
    query.bind(1, job);
    while (query.row()) {
        const auto [number, seq] = spot_of(query.whole(0));
        const auto [dev, fresh]  = devs.try_emplace(number);
        if (fresh) dev->second = dev_of(number);
        found.emplace_back(query.text(4));
        shown.push_back(
            {query.whole(2), query.whole(3), dev->second, seq, id_bytes(query, 1), refs_in(found.back())});
    }
    std::vector<std::string> lines;
    lines.reserve(found.size());
    for (const std::size_t i : in_shown_order(shown))
        lines.push_back(std::move(found[i]));
    return lines;
}

std::vector<Entry> Ledger::of_job(const std::string& job) const
{
    const auto         lines = lines_of_job(job);
    std::vector<Entry> entries;
    entries.reserve(lines.size());
    for (const std::string& line : lines)
        take(read_trusted_line(line), entries);
    return entries;
}

std::vector<Entry> Ledger::of_kind(const std::string& kind) const
{
    static constexpr const char* kPlain =
        "SELECT line FROM plain WHERE kind = ?1 AND place NOT IN (SELECT place FROM "
        "barred)";
    static constexpr const char* kRare =
        "SELECT line FROM entry WHERE kind = ?1 AND kind NOT IN ('reading', 'choice', "
        "'photo', 'code', 'done', 'witness') AND place NOT IN (SELECT place FROM barred)";
    static constexpr const char* kAny =
        "SELECT line FROM entry WHERE kind = ?1 AND place NOT IN (SELECT place FROM "
        "barred)";
    static constexpr std::array kFills{kind::reading, kind::choice, kind::photo,
                                       kind::code,    kind::done,   kind::witness};
    static constexpr std::array kCatalogue{kind::unit, kind::person, kind::instrument, kind::job_open};
    const auto                  is_one_of = [&kind](const auto& kinds) {
        return std::any_of(kinds.begin(), kinds.end(), [&kind](const char* one) { return kind == one; });
    };
    Query query(*db_, is_one_of(kCatalogue) ? kPlain : is_one_of(kFills) ? kAny : kRare);
    auto  found = read(query.bind(1, kind));
    std::sort(found.begin(), found.end(), shown_before);
    return found;
}

std::vector<std::string> Ledger::jobs_naming(const std::string& text) const
{
    std::vector<std::string> jobs;
    Query query(*db_, "SELECT DISTINCT job FROM named WHERE text = ?1 COLLATE NOCASE ORDER BY job");
    query.bind(1, text);
    while (query.row())
        jobs.emplace_back(query.text(0));
    return jobs;
}

std::set<std::string> Ledger::countersigned() const
{
    std::set<std::string> jobs;
    Query                 query(
                        *db_,
                        "SELECT entry.job, entry.kind FROM entry JOIN machine ON machine.number = entry.place >> 40 "
                                        "WHERE entry.kind IN ('countersign', 'return') AND entry.kind NOT IN ('reading', 'choice', 'photo', "
                                        "'code', 'done', 'witness') AND entry.place NOT IN (SELECT place FROM barred) "
                                        "ORDER BY entry.hlc_ms, entry.hlc_c, substr(machine.dev, 1, 64), entry.place & 1099511627775");
    while (query.row()) {
        const std::string job(query.text(0));
        if (query.text(1) == kind::countersign)
            jobs.insert(job);
        else
            jobs.erase(job);
    }
    return jobs;
}

std::vector<Entry> Ledger::between(std::int64_t from_ms, std::int64_t to_ms) const
{
    Query query(*db_, "SELECT line FROM entry WHERE wall_ms >= ?1 AND wall_ms < ?2 AND place NOT IN (SELECT "
                      "place FROM barred)");
    auto  found = read(query.bind(1, from_ms).bind(2, to_ms));
    std::sort(found.begin(), found.end(), shown_before);
    return found;
}

std::vector<Entry> Ledger::of_machine(std::int64_t machine, std::uint64_t from, std::size_t most) const
{
    Query query(*db_, "SELECT line FROM entry WHERE place >= ?1 AND place < ?2 ORDER BY place LIMIT ?3");
    query.bind(1, place_of(machine, from)).bind(2, place_of(machine + 1, 0));
    auto entries = read(query.bind(3, static_cast<std::int64_t>(std::min<std::size_t>(most, 1U << 30U))));
    // A damaged tree leads back to where one was; whoever goes on behind the last one would never end.
    std::uint64_t next = 0;
    const auto    out  = std::find_if(entries.begin(), entries.end(), [&](const Entry& entry) {
        const bool fits = next == 0 ? entry.seq >= from : entry.seq == next;
        next            = entry.seq + 1;
        return !fits;
    });
    if (out == entries.end()) return entries;
    db_->note(
        failure(Fault::corrupt, "The index of the book is damaged at entry " + std::to_string(out->seq) +
                                    "; move the file away and it is made anew from the lines beside it."));
    entries.erase(out, entries.end());
    return entries;
}

std::vector<Brief> Ledger::briefs(std::int64_t machine, std::uint64_t from) const
{
    std::vector<Brief> found;
    Query              query(*db_,
                             "SELECT place, job, kind = 'photo', wall_ms FROM entry WHERE place >= ?1 AND place < ?2 "
                                          "AND job IS NOT NULL ORDER BY place");
    query.bind(1, place_of(machine, from)).bind(2, place_of(machine + 1, 0));
    while (query.row())
        found.push_back({static_cast<std::uint64_t>(query.whole(0) - place_of(machine, 0)),
                         std::string(query.text(1)), query.whole(2) != 0, query.whole(3)});
    return found;
}

std::optional<Entry> Ledger::with_id(const std::string& id) const
{
    const auto bytes = hash_from_hex(id);
    if (!bytes) return std::nullopt;
    Query query(*db_, "SELECT line FROM entry WHERE id = ?1");
    auto  found = read(query.bind_bytes(1, bytes->data(), bytes->size()));
    if (found.empty()) return std::nullopt;
    return std::move(found.front());
}

std::string Ledger::lines(std::int64_t machine, std::uint64_t from, std::size_t most) const
{
    std::string text;
    Query query(*db_, "SELECT line FROM entry WHERE place >= ?1 AND place < ?2 ORDER BY place LIMIT ?3");
    query.bind(1, place_of(machine, from)).bind(2, place_of(machine + 1, 0));
    query.bind(3, static_cast<std::int64_t>(most));
    while (query.row()) {
        text += query.text(0);
        text += '\n';
    }
    return text;
}

std::size_t Ledger::size() const
{
    std::size_t all = 0;
    for (const Machine& machine : machines()) {
        Query query(*db_, "SELECT (SELECT max(place) FROM entry WHERE place > ?1 AND place < ?2) - "
                          "(SELECT min(place) FROM entry WHERE place > ?1 AND place < ?2) + 1");
        query.bind(1, place_of(machine.number, 0)).bind(2, place_of(machine.number + 1, 0));
        if (query.row()) all += static_cast<std::size_t>(query.whole(0));
    }
    return all;
}

void Ledger::each_id(const std::function<void(const std::string& id)>& visit) const
{
    Query query(*db_, "SELECT entry.id FROM entry JOIN machine ON machine.number = entry.place >> 40 "
                      "WHERE entry.place NOT IN (SELECT place FROM barred) "
                      "ORDER BY entry.hlc_ms, entry.hlc_c, substr(machine.dev, 1, 64), "
                      "entry.place & 1099511627775, entry.id");
    while (query.row())
        visit(id_from(query, 0));
}

std::vector<std::string> Ledger::photo_hashes() const
{
    std::vector<std::string> found;
    Query                    query(*db_, "SELECT sha256 FROM photo ORDER BY sha256");
    while (query.row())
        found.emplace_back(query.text(0));
    return found;
}

std::uint64_t Ledger::witnessed(const std::string& dev) const
{
    Query query(*db_, "SELECT max(seq) FROM witness WHERE dev = ?1");
    query.bind(1, dev);
    return query.row() ? static_cast<std::uint64_t>(std::max<std::int64_t>(query.whole(0), 0)) : 0;
}

std::uint64_t Ledger::witnessed_beside(const std::string& dev, std::int64_t not_by) const
{
    Query query(*db_, "SELECT max(seq) FROM witness WHERE dev = ?1 AND by <> ?2");
    query.bind(1, dev).bind(2, not_by);
    return query.row() ? static_cast<std::uint64_t>(std::max<std::int64_t>(query.whole(0), 0)) : 0;
}

void Ledger::each_photo(const std::function<bool(const std::string& sha256)>& visit) const
{
    Query query(*db_, "SELECT sha256 FROM pictured ORDER BY hlc_ms, place");
    while (query.row())
        if (!visit(std::string(query.text(0)))) return;
}

std::vector<Ledger::Where> Ledger::naming(const std::string& sha256) const
{
    std::vector<Where> places;
    Query              query(*db_, "SELECT place FROM pictured WHERE sha256 = ?1");
    query.bind(1, sha256);
    while (query.row()) {
        const auto [number, seq] = spot_of(query.whole(0));
        places.push_back({number, seq, 0, 0});
    }
    return places;
}

std::size_t Ledger::marked(const std::string& prefix, std::int64_t value) const
{
    Query query(*db_, "SELECT count(*) FROM mark WHERE name >= ?1 AND name < ?1 || '~' AND value = ?2");
    query.bind(1, prefix).bind(2, value);
    return query.row() ? static_cast<std::size_t>(query.whole(0)) : 0;
}

void Ledger::each_photo_behind(const std::string&                                    after,
                               const std::function<bool(const std::string& sha256)>& visit) const
{
    Query query(*db_, "SELECT sha256 FROM photo WHERE sha256 > ?1 ORDER BY sha256");
    query.bind(1, after);
    while (query.row())
        if (!visit(std::string(query.text(0)))) return;
}

std::int64_t Ledger::mark(const char* name) const
{
    Query query(*db_, "SELECT value FROM mark WHERE name = ?1");
    query.bind(1, std::string_view(name));
    return query.row() ? query.whole(0) : 0;
}

bool Ledger::seen(const std::string& file) const
{
    Query query(*db_, "SELECT 1 FROM seen WHERE name = ?1");
    return query.bind(1, file).row();
}

std::uint64_t Ledger::data_version() const
{
    Query query(*db_, "PRAGMA data_version");
    return query.row() ? static_cast<std::uint64_t>(query.whole(0)) : 0;
}

} // namespace engine
