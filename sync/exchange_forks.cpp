// Identities met twice, heads that contradict the record, and the own key replaced while work goes on.
#include "engine/book/json_text.h"
#include "sync/head.h"
#include "sync/inside.h"

#include <algorithm>

namespace share {

/// Stops signing with a key that signs elsewhere; the next entry is by a new one.
void Exchange::Inside::renew_key()
{
    const auto forks = book->forks();
    const bool twice =
        std::any_of(forks.begin(), forks.end(), [&](const auto& fork) { return fork.dev == book->device(); });
    if (!twice && !replaced_elsewhere) return;
    replaced_elsewhere = false;
    if (engine::Status renewed = book->replace_key("another machine signs with the same key"); !renewed)
        return stop(renewed.error());
    report.findings.push_back(
        {State::fork, "R08", book->machine_name(), "",
         book->machine_name() + ": another machine signs with the key of this one, so this machine goes on "
                                "with a new key; have it enrolled.",
         true});
    devid         = device_folder(book->device());
    covered       = 0;
    covered_known = false;
    own_checked   = own_last();
    heads_sent.clear();
    know_machines();
}

/// Writes once what proves a fork: both ids.
void Exchange::Inside::note_forks()
{
    const auto forks = book->forks();
    if (forks.empty()) return;
    std::set<std::string> written;
    for (const engine::Entry& entry : book->entries_of_kind(engine::kind::fork))
        if (entry.dev == book->device() && entry.body().contains("ids"))
            written.insert(entry.body()["ids"].dump());
    for (const engine::Draft& draft : to_write)
        if (draft.kind == engine::kind::fork) written.insert((*draft.body)["ids"].dump());
    for (const auto& fork : forks) {
        const nlohmann::json ids = nlohmann::json::array({fork.ids[0], fork.ids[1]});
        if (written.count(ids.dump()) > 0) continue;
        to_write.push_back(
            machine_says(engine::kind::fork, {{"dev", fork.dev}, {"seq", fork.seq}, {"ids", ids}}));
    }
}

/// Once a pass, at its end: what stays true until somebody acts.
void Exchange::Inside::tell_state()
{
    for (const auto& fork : book->forks())
        report.findings.push_back(
            {State::fork, "R08", fork.name, "",
             "Two different entries are signed as entry " + std::to_string(fork.seq) + " of " +
                 (fork.name.empty() ? fork.dev.substr(0, 16) : fork.name) +
                 ": one identity is used on two machines; both records are kept, call the supervisor.",
             false});
    if (roster_witnessed > book->roster().seq() && book->roster().trusts())
        report.findings.push_back({State::waiting, "R12", roster_witness, "",
                                   roster_witness + " has read the enrolment list up to statement " +
                                       std::to_string(roster_witnessed) + ", this machine only up to " +
                                       std::to_string(book->roster().seq()) +
                                       "; the list in the folder is older than it was.",
                                   false});
}

void Exchange::Inside::look_at_witness(const engine::Entry& entry)
{
    if (entry.said.kind != engine::kind::witness) return;
    const nlohmann::json& body = entry.body();
    const auto            seq  = body.find("seq");
    if (const auto list = body.find("roster");
        list != body.end() && list->is_number_unsigned() && list->get<std::uint64_t>() > roster_witnessed) {
        roster_witnessed = list->get<std::uint64_t>();
        roster_witness   = machine_text();
    }
    if (engine::text_in(body, "dev") != book->device() || seq == body.end() || !seq->is_number_unsigned())
        return;
    const std::string id   = engine::text_in(body, "id");
    const auto        mine = book->id_at(book->device(), seq->get<std::uint64_t>());
    if (!id.empty() && mine != id) replaced_elsewhere = true;
}

std::optional<Work> Exchange::Inside::head_in_work()
{
    if (heads_in.empty()) return std::nullopt;
    head_read = heads_in.front();
    heads_in.pop_front();
    Work made   = work(Work::Task::fetch_text, "reading " + machine_text());
    made.paths  = {path_of(reading, head_read)};
    made.hash32 = head_read.hash32;
    made.most   = kLargestHead;
    return made;
}

void Exchange::Inside::absorb_head(const Done& what)
{
    const std::string& path = current.paths.front();
    OpenedSegment      why  = what.segment;
    if (why.state == State::refused) return refuse(path, why);
    if (why.state != State::ok) return find(why.state, why.code, path, why.sentence);
    const auto head = open_head({reinterpret_cast<const unsigned char*>(what.text.data()), what.text.size()},
                                head_read, reading);
    why.state       = State::refused;
    if (!head) {
        why.code     = head.error().fault == engine::Fault::bad_signature ? "R06"
                       : head.error().fault == engine::Fault::bad_input   ? "R13"
                                                                          : "R02";
        why.sentence = head.error().message;
        return refuse(path, why);
    }
    if (head->size > machines[reading].last_seq) {
        const std::string name = machine_text();
        const bool        told = std::any_of(report.findings.begin(), report.findings.end(),
                                             [&](const Finding& it) { return it.machine == name; });
        if (!std::exchange(gap_mentioned, true) && !told)
            find(State::waiting, "R07", "",
                 "its signed head says there are " + std::to_string(head->size) + " entries; " +
                     entries_text(machines[reading].last_seq + 1, head->size) + " are not in the folder yet");
        return;
    }
    const auto root = book->tree_root(head->dev, head->size);
    const bool fits = book->id_at(head->dev, head->size) == head->id && (!head->root || head->root == root);
    if (fits) return settled_later.push_back(path);
    const auto forks = book->forks();
    if (std::any_of(forks.begin(), forks.end(), [&](const auto& fork) { return fork.dev == head->dev; }))
        return settled_later.push_back(path); // of the other branch, which is named already
    why.state    = State::fork;
    why.code     = "R08";
    why.sentence = "its signed head at entry " + std::to_string(head->size) + " names another record";
    refuse(path, why);
}

/// What an own chain of a replaced key still has to send: its last entries, the `retire` among them.
std::optional<Work> Exchange::Inside::retired_work()
{
    for (const auto& before : book->retired()) {
        const std::string   folder = device_folder(before.dev);
        const auto          there  = listing->machines.find(folder);
        const bool          empty  = there == listing->machines.end() || there->second.segments.empty();
        const std::uint64_t from   = empty && retired_begun.insert(before.dev).second ? 0 : before.sent;
        if (from >= before.last_seq) continue;
        const auto entries = book->entries_of_machine(before.dev, from + 1, kMostEntries);
        if (entries.empty()) continue;
        Segment segment = cut_segment(entries);
        Work    made    = work(Work::Task::send, "sending the record");
        made.segment    = segment.name;
        made.paths      = names_of(folder, segment.name);
        made.bytes      = std::move(segment.bytes);
        retired_dev     = before.dev;
        return made;
    }
    return std::nullopt;
}

} // namespace share
