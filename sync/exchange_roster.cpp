// The enrolment list: read before anything else, completed in the folder where it lacks statements.
#include "sync/inside.h"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace share {
namespace {

using engine::Fault;

std::string short_hash(const std::string& line)
{
    return engine::hex(engine::sha256(line + "\n")).substr(0, 32);
}

/// For the book's memory of which statements have been in a folder.
std::string in_folder(const RosterName& name)
{
    return "roster " + std::to_string(name.seq) + " " + name.hash32;
}

const char* code_of_list(Fault fault)
{
    switch (fault) {
    case Fault::conflict:
        return "R12";
    case Fault::bad_signature:
    case Fault::unknown_signer:
        return "R06";
    case Fault::unsupported:
        return "R03";
    case Fault::corrupt:
        return "R07";
    default:
        return "R02";
    }
}

} // namespace

std::optional<Work> Exchange::Inside::roster_work()
{
    if (!std::exchange(at_piece, true)) {
        std::set<std::string> known;
        std::uint64_t         seq = 0;
        for (const std::string& line : book->statements()) {
            const RosterName name{++seq, short_hash(line)};
            known.insert(path_of(name));
            const bool there =
                std::any_of(listing->roster.begin(), listing->roster.end(), [&](const RosterName& it) {
                    return it.seq == name.seq && it.hash32 == name.hash32;
                });
            if (!there) statements_out.push_back(name);
        }
        if (book->roster().trusts())
            for (const RosterName& name : listing->roster)
                if (known.count(path_of(name)) == 0) statements_in.push_back(name);
        tell_roster();
    }
    if (statements_in.empty()) {
        take_statements();
        return std::nullopt;
    }
    Work made   = work(Work::Task::fetch_text, "reading the enrolment list");
    made.paths  = {path_of(statements_in.front())};
    made.hash32 = statements_in.front().hash32;
    made.most   = engine::kLongestStatement + 1;
    statements_in.pop_front();
    return made;
}

void Exchange::Inside::tell_roster()
{
    if (!listing->roster.empty() && !book->roster().trusts()) {
        report.findings.push_back(
            {State::waiting, "", "", "",
             "The folder carries an enrolment list, but this machine trusts no plant key "
             "yet; compare the fingerprint with the paper under Settings, or by `enrol trust`.",
             false});
        return;
    }
    const bool rolled_back =
        !listing->roster.empty() &&
        std::any_of(statements_out.begin(), statements_out.end(),
                    [&](const RosterName& name) { return book->seen_file(in_folder(name)); });
    if (rolled_back)
        report.findings.push_back(
            {State::waiting, "R12", "", "",
             "The enrolment list in the folder is older than the one this machine has "
             "read before; it was completed from here, tell the holder of the plant key.",
             false});
}

void Exchange::Inside::absorb_statement(const Done& what)
{
    const std::string& path = current.paths.front();
    if (what.segment.state == State::refused) return refuse(path, what.segment);
    if (what.segment.state != State::ok)
        return find(what.segment.state, what.segment.code, path, what.segment.sentence);
    report.bytes_in += what.bytes;
    if (what.text.empty() || what.text.back() != '\n') {
        OpenedSegment why = what.segment;
        why.code          = "R02";
        why.sentence      = "the statement of the enrolment list is cut short";
        return refuse(path, why);
    }
    const std::string line = what.text.substr(0, what.text.size() - 1);
    statement_lines.push_back(line);
    // Each on its own first, so that a bad one is named by its file and stops no other.
    const auto taken = book->take_statements(statement_lines);
    if (taken) {
        statement_lines.clear();
        to_remember.push_back(in_folder(*roster_name(path.substr(path.rfind('/') + 1))));
        return;
    }
    const Fault fault = taken.error().fault;
    if (fault == Fault::io || fault == Fault::no_space || fault == Fault::locked) return stop(taken.error());
    if (fault == Fault::corrupt && engine::open_statement(line)) { // one before it is still missing
        find(State::waiting, "R07", path, taken.error().message);
        return;
    }
    statement_lines.pop_back();
    OpenedSegment why = what.segment;
    why.state         = State::refused;
    why.code          = code_of_list(fault);
    why.sentence      = taken.error().message;
    refuse(path, why);
}

void Exchange::Inside::take_statements()
{
    enrolled.clear();
    for (const auto& [dev, machine] : book->roster().machines())
        enrolled.insert(device_folder(dev));
    settle(); // refusals of statements
}

bool Exchange::Inside::is_unknown(const std::string& machine)
{
    if (!book->roster().enrolled() || machine == devid || enrolled.count(machine) > 0) return false;
    for (const auto& before : book->retired())
        if (device_folder(before.dev) == machine) return false;
    if (segments_in.empty()) return false;
    OpenedSegment why;
    why.state    = State::refused;
    why.code     = "R04";
    why.sentence = "the machine is not on the enrolment list";
    refuse(std::string(kRoot) + "/dev/" + machine, why);
    return true;
}

std::optional<Work> Exchange::Inside::statement_out_work()
{
    if (statements_out.empty()) return std::nullopt;
    const RosterName name = statements_out.front();
    statements_out.pop_front();
    for (const std::string& line : book->statements()) {
        if (short_hash(line) != name.hash32) continue;
        Work              made = work(Work::Task::send, "sending the enrolment list");
        const std::string text = line + "\n";
        made.bytes.assign(text.begin(), text.end());
        made.paths         = {path_of(name)};
        made.taken_is_fine = true;
        to_remember.push_back(in_folder(name));
        return made;
    }
    return std::nullopt;
}

} // namespace share
