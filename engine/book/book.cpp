#include "engine/book/book.h"

#include "engine/book/catalogue_codec.h"
#include "engine/book/inside.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iterator>
#include <utility>

namespace engine {
namespace {

constexpr std::int64_t kClockTrustedFrom =
    1767225600000; ///< 2026-01-01T00:00Z: an earlier wall clock was not set
constexpr std::int64_t kStepBack    = 2 * 1000;
constexpr std::int64_t kStepForward = 60 * 1000;

bool is_catalogue_kind(const std::string& kind)
{
    return kind == kind::unit || kind == kind::person || kind == kind::instrument || kind == kind::job_open;
}

Failure reads_only(const std::filesystem::path& file)
{
    return failure(Fault::locked, "The book " + file.filename().string() +
                                      " was opened for reading only; nothing can be added to it here.");
}

} // namespace

std::optional<Draft> Book::Inside::clock_step(const Instant& now) const
{
    if (!has_last || last_boot.empty()) return std::nullopt;
    const bool         same_boot = last_boot == boot;
    const std::int64_t expected  = last_wall_ms + (same_boot ? now.mono_ms - last_mono_ms : 0);
    const std::int64_t step      = now.wall_ms - expected;
    if (step >= -kStepBack && (step <= kStepForward || !same_boot)) return std::nullopt;
    return Draft{"",
                 kind::clock_step,
                 "",
                 "",
                 "",
                 {},
                 std::make_shared<const nlohmann::json>(
                     nlohmann::json{{"step_ms", step}, {"from_wall_ms", last_wall_ms}})};
}

Result<Entry> Book::Inside::next_entry(const Draft& draft, const Instant& now, Tail& from) const
{
    Entry entry;
    entry.dev     = key->device();
    entry.seq     = from.seq + 1;
    entry.prev    = from.id;
    entry.wall_ms = now.wall_ms;
    entry.tz_min  = now.tz_min;
    entry.mono_ms = std::max<std::int64_t>(now.mono_ms, 0);
    entry.boot    = boot;
    entry.tq      = now.wall_ms < kClockTrustedFrom ? "unset" : "manual";
    entry.said    = draft;
    if (!entry.said.body) entry.said.body = std::make_shared<const nlohmann::json>(nlohmann::json::object());
    const auto [last_ms, last_c] =
        std::max(std::pair(from.hlc_ms, from.hlc_c), std::pair(remote_ms, remote_c));
    const bool wall_leads = now.wall_ms > last_ms;
    entry.hlc_ms          = wall_leads ? now.wall_ms : last_ms;
    entry.hlc_c           = wall_leads ? 0 : last_c + 1;
    if (Status sealed = seal_entry(entry, *key, plant); !sealed) return sealed.failure();
    from = {entry.seq, entry.id, entry.hlc_ms, entry.hlc_c};
    return entry;
}

Status Book::Inside::insert_own(const std::vector<Entry>& entries)
{
    {
        Transaction transaction(ledger.db());
        if (!transaction.status()) return transaction.status();
        for (const Entry& entry : entries) {
            if (Status put = ledger.insert(entry, ledger.self()); !put) return put;
            if (Status judged = judge(entry, ledger.self(), nullptr); !judged) return judged;
        }
        if (Status done = transaction.commit(); !done) return done;
    }
    for (const Entry& entry : entries)
        remember(entry, true);
    own.add(ledger, entries);
    return Unit{};
}

void Book::Inside::remember(const Entry& entry, bool own_entry)
{
    ++version;
    if (is_catalogue_kind(entry.said.kind)) ++catalogue_version;
    if (!own_entry) return;
    tail         = {entry.seq, entry.id, entry.hlc_ms, entry.hlc_c};
    last_wall_ms = entry.wall_ms;
    last_mono_ms = entry.mono_ms;
    last_boot    = entry.boot;
    has_last     = true;
}

Result<Kept> Book::append(const Draft& draft)
{
    auto kept = append_all({draft});
    if (!kept) return kept.failure();
    return std::move(kept->back());
}

Result<std::vector<Kept>> Book::append_all(const std::vector<Draft>& drafts)
{
    if (inside_->read_only) return reads_only(inside_->file);
    std::vector<Kept> kept;
    if (drafts.empty()) return kept;
    const Instant      now  = inside_->clock->now();
    Tail               tail = inside_->tail;
    std::vector<Entry> entries;
    if (const auto step = inside_->clock_step(now)) {
        auto entry = inside_->next_entry(*step, now, tail);
        if (!entry) return entry.failure();
        entries.push_back(std::move(*entry));
    }
    for (const Draft& draft : drafts) {
        auto entry = inside_->next_entry(draft, now, tail);
        if (!entry) return entry.failure();
        kept.push_back({entry->id, entry->seq});
        entries.push_back(std::move(*entry));
    }
    if (Status put = inside_->insert_own(entries); !put) return put.failure();
    if (inside_->size) *inside_->size += entries.size();
    return kept;
}

const Catalogue& Book::catalogue() const
{
    const std::uint64_t wanted =
        inside_->read_only ? inside_->ledger.data_version() : inside_->catalogue_version;
    if (inside_->catalogue_made_at == wanted) return inside_->catalogue;
    std::vector<Entry> entries;
    for (const char* kind : {kind::unit, kind::person, kind::instrument, kind::job_open}) {
        auto found = entries_of_kind(kind);
        std::move(found.begin(), found.end(), std::back_inserter(entries));
    }
    std::sort(entries.begin(), entries.end(), shown_before);
    inside_->catalogue         = catalogue_of(entries);
    inside_->catalogue_made_at = wanted;
    return inside_->catalogue;
}

std::vector<Entry> Book::entries_of_job(const std::string& job) const
{
    return inside_->ledger.of_job(job);
}

std::vector<Entry> Book::entries_of_kind(const std::string& kind) const
{
    return inside_->ledger.of_kind(kind);
}

std::vector<Entry> Book::entries_between(std::int64_t from_wall_ms, std::int64_t to_wall_ms) const
{
    return inside_->ledger.between(from_wall_ms, to_wall_ms);
}

std::vector<Entry> Book::entries_of_machine(const std::string& dev, std::uint64_t from_seq,
                                            std::size_t most) const
{
    const auto machine = inside_->ledger.number_of(dev);
    return machine ? inside_->ledger.of_machine(*machine, from_seq, most) : std::vector<Entry>();
}

std::optional<Entry> Book::entry(const std::string& id) const
{
    return inside_->ledger.with_id(id);
}

std::size_t Book::size() const
{
    if (inside_->read_only) return inside_->ledger.size();
    if (!inside_->size) inside_->size = inside_->ledger.size();
    return *inside_->size;
}

Status Book::trouble() const
{
    return inside_->ledger.db().first_trouble();
}

std::uint64_t Book::version() const
{
    return inside_->read_only ? inside_->ledger.data_version() : inside_->version;
}

std::vector<Book::Machine> Book::machines() const
{
    std::vector<Machine> found;
    for (const auto& machine : inside_->ledger.machines()) {
        const Tail tail = inside_->ledger.tail_of(machine.number);
        found.push_back({machine.dev, machine.name, tail.seq, tail.id,
                         machine.number == inside_->ledger.self(), machine.branch});
    }
    return found;
}

const std::string& Book::device() const
{
    return inside_->device;
}

const std::string& Book::machine_name() const
{
    return inside_->name;
}

const std::string& Book::plant() const
{
    return inside_->plant;
}

const std::filesystem::path& Book::file() const
{
    return inside_->file;
}

PhotoStore& Book::photos()
{
    return inside_->photos;
}

std::vector<std::string> Book::photo_hashes() const
{
    return inside_->ledger.photo_hashes();
}

std::string state_hash(const Book& book)
{
    Sha256 hash;
    book.inside_->ledger.each_id([&hash](const std::string& id) {
        hash.add(id);
        hash.add("\n");
    });
    return hex(hash.finish());
}

} // namespace engine
