#include "engine/evidence/trace_query.h"

#include "engine/book/codec.h"
#include "engine/procedure/facts_codec.h"

#include <algorithm>
#include <set>

namespace engine {
namespace {

std::string slot_name(const std::string& ask, const std::string& slot)
{
    return slot.empty() ? ask : ask + "/" + slot;
}

std::string long_name(const TraceKey& key)
{
    switch (key.by) {
    case TraceKey::By::serial:
        return "serial number " + key.value;
    case TraceKey::By::asset:
        return "machine " + key.value;
    case TraceKey::By::job:
        return "job " + key.value;
    }
    return key.value;
}

/// What the body says, by kind; a body that cannot be read leaves the event with its kind alone.
void read_body(LifeEvent& event)
{
    const Entry&       entry = event.entry;
    const std::string& what  = entry.said.kind;
    event.what               = what;
    if (what == kind::reading) {
        const auto fact = reading_of(entry);
        if (!fact) return;
        event.reading = *fact;
        event.what += " " + slot_name(fact->ask, fact->slot);
    } else if (what == kind::correction) {
        const auto fact = correction_of(entry);
        if (!fact) return;
        event.reading = fact->value;
        event.text    = fact->reason;
    } else if (what == kind::choice) {
        const auto fact = choice_of(entry);
        if (!fact) return;
        event.what += " " + fact->ask;
        event.text = fact->option;
    } else if (what == kind::code) {
        const auto fact = code_of(entry);
        if (!fact) return;
        event.what += " " + fact->ask;
        event.text = fact->text;
    } else if (what == kind::photo) {
        const auto fact = photo_of(entry);
        if (!fact) return;
        event.what += " " + fact->ask;
        event.photo = fact->sha256;
    }
}

/// Kinds that carry a reason, a name or a verdict in their body.
void read_deed(LifeEvent& event)
{
    const Entry&       entry = event.entry;
    const std::string& what  = entry.said.kind;
    if (what == kind::done) {
        if (const auto fact = done_of(entry))
            event.text = std::string(name_of(fact->verdict)) + (fact->deviation ? ", by decision" : "");
    } else if (what == kind::problem || what == kind::deviation) {
        if (const auto fact = problem_of(entry)) event.text = fact->reason;
    } else if (what == kind::decision) {
        if (const auto fact = decision_of(entry))
            event.text = (fact->accept ? "accepted: " : "refused: ") + fact->reason;
    } else if (what == kind::back_off) {
        if (const auto fact = back_off_of(entry)) event.text = fact->reason;
    } else if (what == kind::handover) {
        if (const auto fact = hand_over_of(entry)) event.text = fact->to;
    } else if (what == kind::job_return) {
        if (const auto fact = review_of(entry)) event.text = fact->reason;
    }
}

LifeEvent event_of(const Entry& entry, const PhotoStore& photos)
{
    LifeEvent event;
    event.entry = entry;
    read_body(event);
    read_deed(event);
    event.photo_here = !event.photo.empty() && photos.has(event.photo);
    return event;
}

bool belongs(const Entry& entry, const std::vector<std::string>& positions)
{
    return positions.empty() || entry.said.pos.empty() || std::ranges::count(positions, entry.said.pos) > 0;
}

/// Positions of a job a serial number was read at, planned for or taken out of.
std::vector<std::string> positions_with(const JobState& state, const std::string& serial)
{
    std::set<std::string> letters;
    for (const Position& position : state.plan.job.positions)
        if (position.serial == serial) letters.insert(position.letter);
    for (const Entry& entry : state.entries) {
        if (entry.said.kind != kind::code) continue;
        const auto fact = code_of(entry);
        if (fact && fact->text == serial) letters.insert(entry.said.pos);
    }
    return {letters.begin(), letters.end()};
}

/// The whole of the part of one job the key means; none when the job is not meant.
std::optional<LifePart> part_of(const Workbench& bench, const Job& job, const TraceKey& key)
{
    if (key.by == TraceKey::By::job && job.number != key.value) return std::nullopt;
    if (key.by == TraceKey::By::asset && job.asset != key.value) return std::nullopt;
    const auto state = bench.job(job.number);
    if (!state) return std::nullopt;
    LifePart part;
    part.job = job;
    if (key.by == TraceKey::By::serial) {
        part.positions = positions_with(**state, key.value);
        if (part.positions.empty()) return std::nullopt;
    }
    for (const Entry& entry : (*state)->entries)
        if (belongs(entry, part.positions)) part.events.push_back(event_of(entry, bench.book().photos()));
    part.complaints = (*state)->progress.complaints;
    part.closed     = (*state)->progress.closed;
    return part;
}

/// Jobs worth a look, by number: reading every job of a book of years would take minutes.
std::vector<std::string> jobs_meant(const Book& book, const TraceKey& key)
{
    if (key.by == TraceKey::By::job) return {key.value};
    if (key.by == TraceKey::By::serial) return book.jobs_naming(key.value);
    std::vector<std::string> numbers;
    for (const auto& [number, job] : book.catalogue().jobs)
        if (job.asset == key.value) numbers.push_back(number);
    return numbers;
}

std::int64_t begin_of(const LifePart& part)
{
    return part.events.empty() ? 0 : part.events.front().entry.hlc_ms;
}

void break_at(Wholeness& wholeness, const std::string& sentence)
{
    wholeness.whole = false;
    if (wholeness.first_break.empty()) wholeness.first_break = sentence;
}

/// The signed line of an entry, `opened` anew, still says what was shown, and the photo it names is there
/// with its hash.
void prove(const Workbench& bench, const LifeEvent& event, const Result<Entry>& opened, Wholeness& wholeness)
{
    const Entry&      entry = event.entry;
    const std::string where = "Entry " + std::to_string(entry.seq) + " of machine " + entry.dev.substr(0, 16);
    ++wholeness.entries;
    if (!opened)
        break_at(wholeness, where + ": " + opened.error().message);
    else if (opened->id != entry.id)
        break_at(wholeness, where + " is not the entry its name says.");
    else
        ++wholeness.signatures;
    if (event.photo.empty()) return;
    if (!event.photo_here) {
        ++wholeness.photos_missing;
        return;
    }
    const auto bytes = bench.book().photos().read(event.photo);
    if (bytes)
        ++wholeness.photos;
    else
        break_at(wholeness, where + ": " + bytes.error().message);
}

} // namespace

Result<LifeLine> life_line(const Workbench& bench, const TraceKey& key)
{
    LifeLine         line;
    const Catalogue& catalogue = bench.book().catalogue();
    for (const std::string& number : jobs_meant(bench.book(), key))
        if (const Job* const job = catalogue.job(number))
            if (auto part = part_of(bench, *job, key)) line.parts.push_back(*std::move(part));
    if (line.parts.empty())
        return failure(Fault::not_found, "Nothing in this book bears the " + long_name(key) + ".");
    std::ranges::stable_sort(line.parts, {}, begin_of);
    for (const LifePart& part : line.parts) {
        std::vector<std::string_view> signed_lines;
        for (const LifeEvent& event : part.events)
            signed_lines.emplace_back(event.entry.line);
        const auto opened = open_lines(signed_lines);
        for (std::size_t i = 0; i < opened.size(); ++i)
            prove(bench, part.events[i], opened[i], line.wholeness);
    }
    return line;
}

} // namespace engine
