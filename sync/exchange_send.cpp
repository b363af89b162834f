// The sending half on the book's side: what the folder lacks.
#include "sync/head.h"
#include "sync/inside.h"
#include "sync/readme.h"

#include <algorithm>

namespace share {
namespace {

std::vector<std::string> names_of(const std::string& sha256)
{
    std::vector<std::string> paths;
    for (int copy = 1; copy <= kMostCopies; ++copy)
        paths.push_back(path_of(PhotoName{sha256, copy}));
    return paths;
}

} // namespace

std::uint64_t Exchange::Inside::own_last() const
{
    for (const auto& machine : book->machines())
        if (machine.self) return machine.last_seq;
    return 0;
}

/// Own segments whose bytes were verified, by this pass or an earlier one, from the first entry on without
/// gap.
void Exchange::Inside::count_covered()
{
    if (std::exchange(covered_known, true)) return;
    const auto mine = listing->machines.find(devid);
    if (mine == listing->machines.end()) return;
    for (const SegmentName& name : mine->second.segments) {
        const std::string path = path_of(devid, name);
        if (name.first > covered + 1) break; // sorted: the gap stays
        if (name.last <= covered || complaints.count(below_root(path)) > 0 || !book->seen_file(path))
            continue;
        covered = name.last;
    }
    covered = std::min(covered, own_last());
}

std::optional<Work> Exchange::Inside::send_work()
{
    if (!std::exchange(at_piece, true)) {
        count_covered();
        for (const std::string& file : complaints)
            if (const auto photo = photo_name(file.substr(file.rfind('/') + 1)))
                if (phase == Phase::send && book->photos().has(photo->sha256))
                    photos_out.push_back(photo->sha256);
        if (engine::Status marked = book->mark_published(covered); !marked) {
            stop(marked.error());
            return std::nullopt;
        }
    }
    auto piece = plant_out_work();
    if (!piece) piece = readme_work();
    if (!piece) piece = photo_out_work();
    if (!piece) piece = segment_work();
    if (!piece && !error) piece = head_work();
    if (!piece && !error) piece = retired_work();
    if (!piece && !error) piece = statement_out_work();
    if (!piece && !error) {
        for (const std::string& file : complaints)
            to_remember.push_back("resent " + file);
        complaints.clear();
    }
    return piece;
}

std::optional<Work> Exchange::Inside::readme_work()
{
    if (listing->readme || std::exchange(readme_sent, true)) return std::nullopt;
    Work              made = work(Work::Task::send, "beginning the folder");
    const std::string text = readme_text();
    made.bytes.assign(text.begin(), text.end());
    made.paths         = {std::string(kRoot) + "/README.txt"};
    made.taken_is_fine = true;
    return made;
}

std::optional<Work> Exchange::Inside::photo_out_work()
{
    if (photos_out.empty()) return std::nullopt;
    Work made   = work(Work::Task::send_photo, "sending a photo");
    made.photo  = std::move(photos_out.front());
    made.photos = book->photos();
    made.paths  = names_of(made.photo);
    photos_out.pop_front();
    return made;
}

std::optional<Work> Exchange::Inside::segment_work()
{
    if (covered >= own_checked) return std::nullopt;
    const std::size_t most    = std::min<std::size_t>(kMostEntries, own_checked - covered);
    auto              entries = book->entries_of_machine(book->device(), covered + 1, most);
    if (entries.empty() || entries.front().seq != covered + 1) {
        const engine::Status trouble = book->trouble();
        stop(trouble ? engine::Error{engine::Fault::corrupt,
                                     "The book lacks its own entry " + std::to_string(covered + 1) +
                                         ", so nothing after it was sent; check the book.",
                                     {}}
                     : trouble.error());
        return std::nullopt;
    }
    const auto waits = [this](const engine::Entry& entry) { return waits_for_photo(entry); };
    const auto first = std::find_if(entries.begin(), entries.end(), waits);
    if (first != entries.end()) keep_back(*first);
    entries.erase(first, entries.end());
    if (entries.empty()) return std::nullopt;
    Segment segment = cut_segment(entries);
    // A pass cut off in the middle of a photo may have left half of it under its name: sent anew, it is
    // compared.
    for (const engine::Entry& entry : entries)
        for (const std::string& sha256 : photos_of(entry))
            if (entry.seq <= segment.name.last && book->photos().has(sha256) &&
                photos_sent.insert(sha256).second)
                photos_out.push_back(sha256);
    if (auto photo = photo_out_work()) return photo;
    Work made    = work(Work::Task::send, "sending the record");
    made.segment = segment.name;
    made.paths   = names_of(devid, segment.name);
    made.bytes   = std::move(segment.bytes);
    return made;
}

std::optional<Work> Exchange::Inside::head_work()
{
    if (covered == 0 || heads_sent.count(covered) > 0) return std::nullopt;
    heads_sent.insert(covered);
    const auto mine = listing->machines.find(devid);
    if (mine != listing->machines.end())
        for (const HeadName& name : mine->second.heads)
            if (name.size == covered) return std::nullopt;
    const auto last = book->entries_of_machine(book->device(), covered, 1);
    const auto key  = engine::MachineKey::load(book->file().string() + ".key");
    if (last.empty() || !key) {
        if (!key) stop(key.error());
        return std::nullopt;
    }
    const auto root    = book->tree_root(book->device(), covered);
    HeadFile   head    = make_head({book->plant(), book->device(), covered, last.front().id, root}, *key);
    Work       made    = work(Work::Task::send, "sending the record");
    made.paths         = {path_of(devid, head.name)};
    made.bytes         = std::move(head.bytes);
    made.taken_is_fine = true;
    return made;
}

void Exchange::Inside::absorb_sent(const Done& what)
{
    report.bytes_out += what.bytes;
    if (current.segment.last == 0) return; // README, head or statement
    if (!retired_dev.empty()) {
        report.entries_out += current.segment.last - current.segment.first + 1;
        ++report.segments_out;
        if (engine::Status marked = book->mark_sent(retired_dev, current.segment.last); !marked)
            return stop(marked.error());
        retired_dev.clear();
        to_remember.push_back(what.path);
        return;
    }
    report.entries_out += current.segment.last - covered;
    ++report.segments_out;
    covered = current.segment.last;
    // Published first: should the power go in between, the next pass reads this file and finds it good.
    if (engine::Status marked = book->mark_published(covered); !marked) return stop(marked.error());
    to_remember.push_back(what.path);
}

void Exchange::Inside::absorb_photo_sent(const Done& what)
{
    if (what.unread) return photo_unread(*what.unread);
    report.bytes_out += what.bytes;
    ++report.photos_out;
}

/// A disk that does not give a photo at once may give it the next time, today or tomorrow: until then no
/// entry that names it goes out as if it were whole. A photo that is damaged, or was not to be had for a day,
/// holds nothing back: the record is worth more than its picture.
void Exchange::Inside::photo_unread(const engine::Error& why)
{
    const std::string& photo   = current.photo;
    const bool         damaged = why.fault == engine::Fault::corrupt || why.fault == engine::Fault::not_found;
    if (!damaged && unread.insert(photo).second) {
        photos_out.push_back(photo);
        return;
    }
    if (!damaged && !met_a_day_ago(path_of(PhotoName{photo, 1}))) held.insert(photo);
    report.findings.push_back({State::waiting, "photo", book->machine_name(), "", why.message, false});
}

void Exchange::Inside::keep_back(const engine::Entry& from)
{
    kept_back = engine::Error{engine::Fault::io,
                              "This machine's disk does not give a photo of its own just now, so entry " +
                                  std::to_string(from.seq) +
                                  " and what follows it wait here; the next exchange tries again. Should it "
                                  "come back, have the disk looked after.",
                              {}};
}

bool Exchange::Inside::waits_for_photo(const engine::Entry& entry) const
{
    if (held.empty()) return false;
    const auto photos = photos_of(entry);
    return std::any_of(photos.begin(), photos.end(),
                       [this](const std::string& photo) { return held.count(photo) > 0; });
}

} // namespace share
