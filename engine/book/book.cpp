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
constexpr std::int64_t kStepBack    = 2000;
constexpr std::int64_t kStepForward = 60000;

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
        remember(entry, ledger.self());
    own.add(ledger, entries);
    return Unit{};
}

void Book::Inside::everything_moved()
{
    ++version;
    sheets_version = jobs_version = reviews_version = version;
    job_versions.clear();
}

void Book::Inside::remember(const Entry& entry, std::int64_t number)
{
    ++version;
    const std::string& kind = entry.said.kind;
    if (!entry.said.job.empty()) job_versions[entry.said.job] = version;
    if (kind == kind::unit || kind == kind::person || kind == kind::instrument) sheets_version = version;
    if (kind == kind::countersign || kind == kind::job_return || kind == kind::job_end)
        reviews_version = version;
    if (kind == kind::job_open) {
        const bool up_to_date = jobs_made_at == jobs_version;
        jobs_version          = version;
        if (up_to_date) {
            if (stands(entry, number)) take_job(entry);
            jobs_made_at = jobs_version;
        }
    } else if (opened_again.count(entry.said.job) > 0 && jobs_made_at == jobs_version) {
        settle_job(entry.said.job); // a deed that came late may stand before an opening that counted so far
        jobs_version = jobs_made_at = version;
    }
    if (number != ledger.self()) return;
    tail         = {entry.seq, entry.id, entry.hlc_ms, entry.hlc_c};
    last_wall_ms = entry.wall_ms;
    last_mono_ms = entry.mono_ms;
    last_boot    = entry.boot;
    has_last     = true;
}

void Book::write_own_lines()
{
    inside_->own.write_waiting();
}

Result<Kept> Book::append(const Draft& draft)
{
    auto kept = append_all({draft});
    if (!kept) return kept.failure();
    return std::move(kept->back());
}

Result<std::vector<Kept>> Book::append_all(const std::vector<Draft>& drafts)
{
    if (inside_->read_only) return book_parts::reads_only(inside_->file);
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
    Status put = inside_->insert_own(entries);
    if (!put && put.error().fault == Fault::no_space && inside_->give_up_ballast())
        put = inside_->insert_own(entries); // nothing of the first try is left: it was undone
    if (!put) return put.failure();
    if (inside_->size) *inside_->size += entries.size();
    return kept;
}

void Book::Inside::make_catalogue(std::uint64_t sheets_at, std::uint64_t jobs_at)
{
    if (sheets_made_at != sheets_at) {
        std::vector<Entry> entries;
        for (const char* kind : {kind::unit, kind::person, kind::instrument}) {
            auto found = ledger.of_kind(kind);
            std::move(found.begin(), found.end(), std::back_inserter(entries));
        }
        auto jobs      = std::move(catalogue.jobs);
        catalogue      = catalogue_of(entries);
        catalogue.jobs = std::move(jobs);
        sheets_made_at = sheets_at;
    }
    if (jobs_made_at == jobs_at) return;
    catalogue.jobs.clear();
    job_openings.clear();
    opened_again.clear();
    for (const Entry& entry : ledger.of_kind(kind::job_open))
        take_job(entry);
    jobs_made_at = jobs_at;
}

const Catalogue& Book::catalogue() const
{
    Inside& inside = *inside_;
    if (inside.read_only) {
        const std::uint64_t now = inside.ledger.data_version();
        inside.make_catalogue(now, now);
    } else {
        inside.make_catalogue(inside.sheets_version, inside.jobs_version);
    }
    return inside.catalogue;
}

std::uint64_t Book::version_of_job(const std::string& job) const
{
    if (inside_->read_only) return inside_->ledger.data_version();
    const auto moved = inside_->job_versions.find(job);
    return std::max(inside_->sheets_version, moved == inside_->job_versions.end() ? 0 : moved->second);
}

const std::vector<std::string>& Book::open_jobs() const
{
    Inside&             inside  = *inside_;
    const Catalogue&    all     = catalogue();
    const std::uint64_t reviews = inside.read_only ? inside.ledger.data_version() : inside.reviews_version;
    const std::uint64_t made    = std::max(inside.jobs_made_at, inside.sheets_made_at);
    if (inside.open_jobs_at == made && inside.reviews_at == reviews) return inside.open_jobs;
    std::set<std::string> accepted = inside.ledger.countersigned();
    for (const Entry& entry : inside.ledger.of_kind(kind::job_end))
        if (may_end_jobs(all, entry.said.actor)) accepted.insert(entry.said.job);
    inside.open_jobs.clear();
    for (const auto& [number, job] : all.jobs)
        if (accepted.count(number) == 0) inside.open_jobs.push_back(number);
    inside.open_jobs_at = made;
    inside.reviews_at   = reviews;
    return inside.open_jobs;
}

std::vector<std::string> Book::jobs_naming(const std::string& text) const
{
    return inside_->ledger.jobs_naming(text);
}

std::vector<Entry> Book::entries_of_job(const std::string& job) const
{
    return inside_->ledger.of_job(job);
}

std::vector<std::string> Book::lines_of_job(const std::string& job) const
{
    return inside_->ledger.lines_of_job(job);
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
