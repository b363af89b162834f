// The reading half on the book's side: machine by machine, file by file.
#include "sync/inside.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <iterator>
#include <utility>

namespace share {
namespace {

constexpr std::int64_t kHalfDay        = 12LL * 60 * 60 * 1000;
constexpr std::int64_t kUnfinishedFor  = 3;   ///< half-days that must lie between: at least 24 h
constexpr std::int64_t kRememberedBack = 60;  ///< half-days
constexpr std::size_t  kEnteredAtOnce  = 128; ///< entries of one transaction: 2 ms

} // namespace

void Exchange::Inside::open_machine(const std::string& machine)
{
    reading       = machine;
    entries_in    = 0;
    content_seq   = 0;
    gap_mentioned = false;
    segments_in.clear();
    heads_in.clear();
    for (const SegmentName& name : listing->machines.at(machine).segments)
        if (!book->seen_file(path_of(machine, name))) segments_in.push_back(name);
    if (is_unknown(machine)) return segments_in.clear();
    // The newest head alone: it speaks for all before it.
    const auto& heads = listing->machines.at(machine).heads;
    if (machine != devid && !heads.empty() && !book->seen_file(path_of(machine, heads.back())))
        heads_in.push_back(heads.back());
}

/// Goes through `machines_in`; each is settled before the next is begun.
std::optional<Work> Exchange::Inside::machines_work()
{
    while (!error) {
        if (!reading.empty()) {
            if (auto piece = segment_in_work()) return piece;
            if (auto piece = head_in_work()) return piece;
            settle();
            reading.clear();
            if (!to_remember.empty()) return std::nullopt; // next() comes back here after them
        }
        if (machines_in.empty()) return std::nullopt;
        open_machine(machines_in.front());
        machines_in.pop_front();
    }
    return std::nullopt;
}

std::optional<Work> Exchange::Inside::segment_in_work()
{
    if (entering) return work(Work::Task::enter, "reading " + machine_text());
    while (!segments_in.empty()) {
        const SegmentName name = segments_in.front();
        segments_in.pop_front();
        const std::string   path = path_of(reading, name);
        const std::uint64_t have = machines[reading].farthest;
        if (refused_for_good(path)) continue;
        if (name.first > have + 1) {
            if (!std::exchange(gap_mentioned, true))
                find(State::waiting, "R07", "",
                     entries_text(have + 1, name.first - 1) +
                         " are not in the folder yet; what follows them waits");
            continue;
        }
        Work made    = work(Work::Task::fetch_segment, "reading " + machine_text());
        made.devid   = reading;
        made.plant   = book->plant();
        made.segment = name;
        made.paths   = {path};
        return made;
    }
    return std::nullopt;
}

void Exchange::Inside::absorb_segment(const Done& what)
{
    const std::string&   path    = current.paths.front();
    const OpenedSegment& segment = what.segment;
    switch (segment.state) {
    case State::ok:
        report.bytes_in += what.bytes;
        entering          = Entering{};
        entering->segment = segment;
        entering->path    = path;
        return enter_part();
    case State::unfinished:
        return not_complete(segment, path);
    case State::waiting:
        return find(State::waiting, "", path, segment.sentence);
    case State::refused:
    case State::fork:
        return refuse(path, segment);
    }
}

/// One short transaction: the thread of the book is the screen's.
void Exchange::Inside::enter_part()
{
    auto&             lines                = entering->segment.entries;
    const std::size_t from                 = entering->at;
    entering->at                           = std::min(lines.size(), from + kEnteredAtOnce);
    const auto                       first = std::make_move_iterator(lines.begin());
    const std::vector<engine::Entry> part(first + static_cast<std::ptrdiff_t>(from),
                                          first + static_cast<std::ptrdiff_t>(entering->at));
    const auto                       taken = book->receive(part);
    if (!taken) return not_entered(taken.error());
    entering->fresh += taken->fresh;
    for (const auto& one : taken->set_aside)
        entering->set_aside.emplace(one.code, one.sentence);
    entered(part);
    if (entering->at < lines.size()) return;
    const Entering whole = *std::exchange(entering, std::nullopt);
    entries_in += static_cast<std::size_t>(whole.fresh);
    report.entries_in += static_cast<std::size_t>(whole.fresh);
    if (whole.fresh > 0) ++report.segments_in;
    settled_later.push_back(whole.path);
    for (const auto& [code, sentence] : whole.set_aside)
        refuse(whole.path, {State::refused, code, sentence, whole.segment.sha256, true, {}});
    note_forks();
}

void Exchange::Inside::not_entered(const engine::Error& reason)
{
    const Entering part = *std::exchange(entering, std::nullopt);
    entries_in += static_cast<std::size_t>(part.fresh);
    report.entries_in += static_cast<std::size_t>(part.fresh);
    OpenedSegment why = part.segment;
    why.sentence      = reason.message;
    why.state         = State::refused;
    switch (reason.fault) {
    case engine::Fault::unknown_signer:
        why.code = "R04";
        segments_in.clear();
        break;
    case engine::Fault::corrupt:
        why.code = "R07";
        break;
    case engine::Fault::bad_input:
        why.code = "R10";
        break;
    default:
        return stop(reason);
    }
    refuse(part.path, why);
}

void Exchange::Inside::entered(const std::vector<engine::Entry>& part)
{
    Machine& machine = machines[reading];
    machine.dev      = part.front().dev;
    for (const engine::Entry& entry : part) {
        look_at_witness(entry);
        if (entry.said.kind != engine::kind::witness) content_seq = std::max(content_seq, entry.seq);
        if (entry.said.kind == engine::kind::genesis && entry.body().contains("name") &&
            entry.body().at("name").is_string())
            machine.name = entry.body().at("name").get<std::string>();
    }
    // The chain met first is the one that is witnessed; a branch beside it is named as a fork.
    while (const auto next = book->id_at(machine.dev, machine.last_seq + 1)) {
        ++machine.last_seq;
        machine.last_id = *next;
    }
    machine.farthest = std::max({machine.farthest, machine.last_seq, part.back().seq});
}

bool Exchange::Inside::later_segment_exists() const
{
    const auto& segments = listing->machines.at(reading).segments;
    return std::any_of(segments.begin(), segments.end(),
                       [&](const SegmentName& s) { return s.first > current.segment.last; });
}

bool Exchange::Inside::met_a_day_ago(const std::string& path)
{
    const std::int64_t today = clock->now().wall_ms / kHalfDay;
    const auto         name  = [&](std::int64_t half_day) {
        return "unfinished " + path + " " + std::to_string(half_day);
    };
    for (std::int64_t back = kUnfinishedFor; back <= kRememberedBack; ++back)
        if (book->seen_file(name(today - back))) return true;
    if (!book->seen_file(name(today))) to_remember.push_back(name(today));
    return false;
}

void Exchange::Inside::not_complete(const OpenedSegment& segment, const std::string& path)
{
    const bool photo = current.task == Work::Task::fetch_photo;
    if (!photo && reading == devid)
        return; // an own file: what it should hold is sent again below another name
    if (!photo && current.segment.last <= machines[reading].last_seq) return; // arrived otherwise
    if ((photo || !later_segment_exists()) && !met_a_day_ago(path))
        return find(State::unfinished, segment.code, path, segment.sentence);
    OpenedSegment why = segment;
    why.state         = State::refused;
    why.sentence      = photo ? "the photo " + current.photo.substr(0, 8) + " is damaged in the folder"
                              : "the file of " + entries_text(current.segment.first, current.segment.last) +
                               " is damaged in the folder";
    refuse(path, why);
}

std::optional<Work> Exchange::Inside::photo_in_work()
{
    if (!std::exchange(at_piece, true))
        for (const std::string& sha256 : photos_wanted)
            for (const PhotoName& copy : listing->photos.at(sha256))
                photos_in.push_back(copy);
    if (!photos_in.empty() && !has_room_for_photos()) photos_in.clear();
    while (!photos_in.empty()) {
        const PhotoName   name = std::move(photos_in.front());
        const std::string path = path_of(name);
        photos_in.pop_front();
        if (book->photos().has(name.sha256) || refused_for_good(path)) continue;
        Work made   = work(Work::Task::fetch_photo, "fetching a photo");
        made.photo  = name.sha256;
        made.paths  = {path};
        made.photos = book->photos();
        return made;
    }
    count_waiting_photos();
    settle();
    return std::nullopt;
}

void Exchange::Inside::count_waiting_photos()
{
    if (std::exchange(photos_counted, true)) return;
    for (const std::string& sha256 : photos_wanted)
        if (!book->photos().has(sha256)) ++report.photos_waiting;
    if (report.photos_waiting == 0) return;
    const std::string count = std::to_string(report.photos_waiting);
    report.findings.push_back({State::waiting, "photo", "", "",
                               report.photos_waiting == 1
                                   ? "1 photo named in the record is not here and not whole in the folder."
                                   : count + " photos named in the record are not here and not whole in the "
                                             "folder.",
                               false});
}

void Exchange::Inside::absorb_photo(const Done& what)
{
    const std::string& path = current.paths.front();
    switch (what.segment.state) {
    case State::ok:
        report.bytes_in += what.bytes;
        ++report.photos_in;
        return;
    case State::unfinished:
        return not_complete(what.segment, path);
    case State::waiting:
        return find(State::waiting, "", path, what.segment.sentence);
    case State::refused:
    case State::fork:
        return refuse(path, what.segment);
    }
}

} // namespace share
