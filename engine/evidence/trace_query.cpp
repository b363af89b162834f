#include "engine/evidence/trace_query.h"

#include "engine/book/catalogue_codec.h"
#include "engine/book/codec.h"
#include "engine/procedure/facts_codec.h"

#include <algorithm>
#include <map>
#include <set>
#include <string_view>

namespace engine {
namespace {

std::string slot_name(const std::string& ask, const std::string& slot)
{
    return slot.empty() ? ask : ask + "/" + slot;
}

std::string trimmed(std::string_view text)
{
    const auto first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos) return {};
    return std::string(text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1));
}

/// People read serials off a ring in any case. `wanted` is trimmed already.
bool is_same_name(std::string_view written, std::string_view wanted)
{
    const auto small = [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; };
    return !wanted.empty() && std::ranges::equal(trimmed(written), wanted, {}, small, small);
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

/// What a job was opened as: "Lime dryer fan 4, machine LDF-04, A SLW-P50-12 fixed, B SLW-E50-12 expansion".
std::string opening_of(const Entry& entry)
{
    Catalogue said;
    (void)add_to_catalogue(said, entry);
    const Job* const job = said.job(entry.said.job);
    if (job == nullptr) return "it cannot be read";
    std::string text = job->title + ", machine " + job->asset;
    for (const Position& position : job->positions)
        text += ", " + position.letter + " " + position.unit_code +
                (position.role == Hold::fixed ? " fixed" : " expansion") +
                (position.serial.empty() ? "" : " " + position.serial);
    return text;
}

/// Kinds that carry a reason, a name or a verdict in their body.
void read_deed(LifeEvent& event)
{
    const Entry&       entry = event.entry;
    const std::string& what  = entry.said.kind;
    if (what == kind::job_open) {
        event.text = opening_of(entry);
    } else if (what == kind::done) {
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
    } else if (what == kind::job_end) {
        if (const auto fact = end_of(entry)) event.text = fact->reason;
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

/// A correction says what it strikes, and a reading that was corrected by what.
void tell_corrections(std::vector<LifeEvent>& events)
{
    std::map<std::string, std::size_t> at; // reading's id -> its event
    std::map<std::string, ReadingFact> now;
    for (std::size_t i = 0; i < events.size(); ++i) {
        LifeEvent&   event = events[i];
        const Entry& entry = event.entry;
        if (entry.said.kind == kind::reading && event.reading) {
            at[entry.id]  = i;
            now[entry.id] = *event.reading;
        }
        if (entry.said.kind != kind::correction || !event.reading || entry.said.refs.empty()) continue;
        const auto reading = now.find(entry.said.refs.front());
        if (reading == now.end()) continue;
        ReadingFact& stands = reading->second;
        const Signed by{entry.id, entry.said.actor, entry.wall_ms, entry.tz_min, entry.dev};
        event.what += " " + slot_name(stands.ask, stands.slot);
        event.struck = Struck{stands.at, stands.value.text, stands.value.unit, event.text};
        events[at[reading->first]].struck =
            Struck{by, event.reading->value.text, event.reading->value.unit, event.text};
        stands.value = event.reading->value;
    }
}

/// The instruments of the readings, each as the newest entry before the reading says.
void tell_tools(const Book& book, std::vector<LifeEvent>& events)
{
    constexpr std::size_t                                            kLengthOfDate = 10;
    std::map<std::string, std::vector<std::pair<Entry, Instrument>>> known; // by tag, in shown order
    for (Entry& entry : book.entries_of_kind(kind::instrument)) {
        Catalogue said;
        if (!add_to_catalogue(said, entry).empty()) continue;
        const Instrument& tool = said.instruments.begin()->second;
        known[tool.tag].emplace_back(std::move(entry), tool);
    }
    for (LifeEvent& event : events) {
        const auto entries = event.reading ? known.find(event.reading->tool) : known.end();
        if (entries == known.end()) continue;
        event.tool = entries->second.front().second; // known to this book only later: the first that was
        for (const auto& [entry, tool] : entries->second)
            if (shown_before(entry, event.entry)) event.tool = tool;
        event.out_of_calibration = event.tool->calibration_due <
                                   iso_time(event.entry.wall_ms, event.entry.tz_min).substr(0, kLengthOfDate);
    }
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
        if (is_same_name(position.serial, serial)) letters.insert(position.letter);
    for (const Entry& entry : state.entries) {
        if (entry.said.kind != kind::code) continue;
        const auto fact = code_of(entry);
        if (fact && is_same_name(fact->text, serial)) letters.insert(entry.said.pos);
    }
    return {letters.begin(), letters.end()};
}

/// How this part of the record spells what was asked for.
std::string spelling_in(const LifePart& part, const TraceKey& key)
{
    if (key.by == TraceKey::By::job) return part.job.number;
    if (key.by == TraceKey::By::asset) return part.job.asset;
    for (const Position& position : part.job.positions)
        if (is_same_name(position.serial, key.value)) return position.serial;
    for (const LifeEvent& event : part.events)
        if (event.entry.said.kind == kind::code && is_same_name(event.text, key.value)) return event.text;
    return key.value;
}

/// The whole of the part of one job the key means; none when the job is not meant.
std::optional<LifePart> part_of(const Workbench& bench, const Job& job, const TraceKey& key)
{
    if (key.by == TraceKey::By::job && !is_same_name(job.number, key.value)) return std::nullopt;
    if (key.by == TraceKey::By::asset && !is_same_name(job.asset, key.value)) return std::nullopt;
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
    tell_corrections(part.events);
    tell_tools(bench.book(), part.events);
    part.complaints = (*state)->progress.complaints;
    part.closed     = (*state)->progress.closed;
    return part;
}

/// Jobs worth a look, by number: reading every job of a book of years would take minutes.
std::vector<std::string> jobs_meant(const Book& book, const TraceKey& key)
{
    if (key.by == TraceKey::By::serial) return book.jobs_naming(key.value);
    std::vector<std::string> numbers;
    for (const auto& [number, job] : book.catalogue().jobs)
        if (is_same_name(key.by == TraceKey::By::job ? number : job.asset, key.value))
            numbers.push_back(number);
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

Result<LifeLine> life_line(const Workbench& bench, const TraceKey& asked)
{
    const TraceKey   key{asked.by, trimmed(asked.value)};
    LifeLine         line;
    const Catalogue& catalogue = bench.book().catalogue();
    for (const std::string& number : jobs_meant(bench.book(), key))
        if (const Job* const job = catalogue.job(number))
            if (auto part = part_of(bench, *job, key)) line.parts.push_back(*std::move(part));
    if (line.parts.empty())
        return failure(Fault::not_found, "Nothing in this book bears the " + long_name(asked) + ".");
    std::ranges::stable_sort(line.parts, {}, begin_of);
    for (const LifePart& part : line.parts)
        if (const std::string spelt = spelling_in(part, key); spelt != asked.value) line.found_as = spelt;
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
