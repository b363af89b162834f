// What a pass leaves in the book about others: witness and set-aside entries, then the names of files read.
#include "engine/book/json_text.h"
#include "sync/inside.h"

#include <algorithm>

namespace share {
namespace {

constexpr std::size_t kMostRefusals =
    100; ///< written in one pass; a folder full of rubbish must not fill books
constexpr std::size_t kWitnessedBack  = 256; ///< own entries looked at for a witness already written
constexpr std::size_t kLongestRefusal = 1000;

const char* what_now(const std::string& code)
{
    if (code == "R01") return "its machine sends it again at its next exchange";
    if (code == "R03") return "update this machine";
    if (code == "R04") return "it is read again once it is enrolled";
    if (code == "R05" || code == "R09") return "the record is kept and does not count, tell the supervisor";
    if (code == "R11") return "a machine that has the photo sends it again";
    return "the file was set aside, tell the supervisor";
}

std::string without_dot(std::string sentence)
{
    while (!sentence.empty() && sentence.back() == '.')
        sentence.pop_back();
    return sentence;
}

} // namespace

std::string below_root(const std::string& path)
{
    return path.substr(std::min(path.size(), kRoot.size() + 1));
}

engine::Draft machine_says(const char* kind, nlohmann::json body)
{
    engine::Draft draft;
    draft.kind = kind;
    draft.body = std::make_shared<const nlohmann::json>(std::move(body));
    return draft;
}

void Exchange::Inside::know_refusals()
{
    for (const engine::Entry& entry : book->entries_of_kind(engine::kind::set_aside)) {
        const std::string name = engine::text_in(entry.body(), "name");
        const std::string code = engine::text_in(entry.body(), "code");
        if (entry.dev != book->device()) {
            const bool mine = name.rfind("dev/" + devid + "/", 0) == 0 && code == "R01";
            if ((mine || (name.rfind("blob/", 0) == 0 && code == "R11")) &&
                !book->seen_file("resent " + name))
                complaints.insert(name);
            continue;
        }
        refusals[name] = {code, engine::text_in(entry.body(), "file"),
                          engine::text_in(entry.body(), "sentence")};
    }
}

/// Content under such a name cannot change, and what was wrong with it stays wrong.
bool Exchange::Inside::refused_for_good(const std::string& path)
{
    const auto known = refusals.find(below_root(path));
    if (known == refusals.end()) return false;
    const Refusal& refusal = known->second;
    const bool     hash_fits =
        refusal.sha256.size() == 64 && path.find(refusal.sha256.substr(0, 32)) != std::string::npos;
    // R07: of a fork the earlier files may come later. R08 of an earlier version: both branches are kept now.
    const auto& code = refusal.code;
    if (!hash_fits || code == "R03" || code == "R04" || code == "R07" || code == "R08") return false;
    const State state = State::refused;
    report.findings.push_back(
        {state, refusal.code, machine_text(), below_root(path), refusal.sentence, false});
    return true;
}

std::string Exchange::Inside::machine_text() const
{
    const auto at = machines.find(reading);
    return at == machines.end() || at->second.name.empty() ? reading : at->second.name;
}

void Exchange::Inside::find(State state, const std::string& code, const std::string& path,
                            const std::string& why)
{
    const std::string name     = machine_text();
    std::string       sentence = (name.empty() ? "Photos" : name) + ": " + without_dot(why);
    if (state == State::refused) sentence += std::string("; ") + what_now(code);
    if (state == State::fork) sentence = without_dot(why);
    report.findings.push_back(
        {state, code, name, path.empty() ? path : below_root(path), sentence + ".", false});
}

void Exchange::Inside::refuse(const std::string& path, const OpenedSegment& why)
{
    find(why.state == State::fork ? State::fork : State::refused, why.code, path, why.sentence);
    Finding&   finding = report.findings.back();
    const auto known   = refusals.find(finding.file);
    if (known != refusals.end() && known->second.code == why.code) return;
    if (refusals_written >= kMostRefusals) return; // the next pass comes to it
    ++refusals_written;
    finding.first_time = true;
    nlohmann::json body{{"code", why.code},
                        {"name", finding.file},
                        {"sentence", finding.sentence.substr(0, kLongestRefusal)}};
    if (!why.sha256.empty()) body["file"] = why.sha256; // `sha256` would name a photo
    refusals[finding.file] = {why.code, why.sha256, finding.sentence};
    to_write.push_back(machine_says(engine::kind::set_aside, std::move(body)));
}

bool Exchange::Inside::witnessed_before(const std::string& dev, std::uint64_t seq) const
{
    const std::uint64_t last = own_last();
    const std::uint64_t from = last > kWitnessedBack ? last - kWitnessedBack + 1 : 1;
    for (const engine::Entry& entry : book->entries_of_machine(book->device(), from, kWitnessedBack)) {
        if (entry.said.kind != engine::kind::witness || engine::text_in(entry.body(), "dev") != dev) continue;
        const auto at = entry.body().find("seq");
        if (at != entry.body().end() && at->is_number_integer() && at->get<std::int64_t>() >= 0 &&
            at->get<std::uint64_t>() >= seq)
            return true;
    }
    return false;
}

engine::Draft Exchange::Inside::witness_of(const Machine& machine) const
{
    nlohmann::json body{{"dev", machine.dev}, {"seq", machine.last_seq}, {"id", machine.last_id}};
    if (const auto root = book->tree_root(machine.dev, machine.last_seq)) body["root"] = engine::hex(*root);
    if (book->roster().enrolled()) body["roster"] = book->roster().seq();
    return machine_says(engine::kind::witness, std::move(body));
}

void Exchange::Inside::settle()
{
    // An own chain of a replaced key is no other machine: nobody else has read it because this one has.
    const auto before  = book->retired();
    const bool was_own = std::any_of(before.begin(), before.end(),
                                     [&](const auto& it) { return device_folder(it.dev) == reading; });
    const bool others  = !reading.empty() && reading != devid && !was_own;
    if (others && content_seq > 0 && !witnessed_before(machines[reading].dev, content_seq))
        to_write.insert(to_write.begin(), witness_of(machines[reading]));
    if (others && entries_in > 0)
        report.machines.push_back(
            {machines[reading].dev, machines[reading].name, entries_in, machines[reading].last_seq});
    if (!to_write.empty()) {
        const bool caught_up = own_last() == own_checked; // none of these names a photo
        if (const auto kept = book->append_all(to_write); !kept) return stop(kept.error());
        if (caught_up) own_checked = own_last();
        to_write.clear();
    }
    to_remember.insert(to_remember.end(), settled_later.begin(), settled_later.end());
    settled_later.clear();
}

} // namespace share
