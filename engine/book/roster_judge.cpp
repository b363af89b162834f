// What the roster says to an entry, and the signatures of persons.
#include "engine/book/codec.h"
#include "engine/book/json_text.h"
#include "engine/book/roster.h"

#include <algorithm>
#include <array>

namespace engine {
namespace {

using nlohmann::json;

constexpr std::string_view kPersonContext = "witnessmark1/person\n";

/// What a machine says of itself: every role may.
constexpr std::array kMachineKinds{kind::genesis,   kind::plant,      kind::witness,
                                   kind::set_aside, kind::clock_step, kind::trust,
                                   kind::retire,    kind::fork,       kind::pin_refused};
constexpr std::array kPlannerKinds{kind::unit, kind::person, kind::instrument, kind::job_open};

template <class Kinds> bool among(const Kinds& kinds, const std::string& kind)
{
    return std::any_of(kinds.begin(), kinds.end(), [&](const char* known) { return kind == known; });
}

bool may(MachineRole role, const std::string& kind)
{
    if (among(kMachineKinds, kind)) return true;
    if (role == MachineRole::auditor) return false;
    return role == MachineRole::planner || !among(kPlannerKinds, kind);
}

MachineRole role_at(const RosterMachine& machine, std::uint64_t seq)
{
    MachineRole role = machine.roles.front().role;
    for (const auto& spell : machine.roles)
        if (spell.from <= seq) role = spell.role;
    return role;
}

/// What a person signs: all that is said, without the signature itself.
Result<std::string> person_message(const Draft& said, const std::string& plant)
{
    json value{{"plant", plant}, {"kind", said.kind}, {"d", said.body ? *said.body : json::object()}};
    value["d"].erase("psig");
    const auto put = [&value](const char* key, const std::string& text) {
        if (!text.empty()) value[key] = text;
    };
    put("actor", said.actor);
    put("job", said.job);
    put("pos", said.pos);
    put("step", said.step);
    if (!said.refs.empty()) value["refs"] = said.refs;
    auto text = canonical(value);
    if (!text) return text;
    return std::string(kPersonContext) + *text;
}

std::string who(const RosterMachine& machine, const Entry& entry)
{
    return (machine.name.empty() ? entry.dev.substr(0, 16) : machine.name) + ", entry " +
           std::to_string(entry.seq);
}

} // namespace

bool is_signed_by_person(const std::string& kind)
{
    return kind == kind::decision || kind == kind::countersign || kind == kind::job_return;
}

bool is_signed_by_planner(const std::string& kind)
{
    return among(kPlannerKinds, kind);
}

Status sign_as(Draft& draft, const MachineKey& person_key, const std::string& plant)
{
    json body          = draft.body ? *draft.body : json::object();
    body["pkey"]       = person_key.device();
    draft.body         = std::make_shared<const json>(body);
    const auto message = person_message(draft, plant);
    if (!message) return message.failure();
    body["psig"] = hex_of(person_key.sign(*message));
    draft.body   = std::make_shared<const json>(std::move(body));
    return Unit{};
}

bool person_signature_fits(const Entry& entry)
{
    const auto signature = signature_from_hex(text_in(entry.body(), "psig"));
    const auto message   = person_message(entry.said, entry.plant);
    return signature && message && verify(*message, *signature, text_in(entry.body(), "pkey"));
}

bool Roster::wants_planner(const std::string& dev, std::uint64_t seq) const
{
    const auto at = machines_.find(dev);
    return at != machines_.end() && role_at(at->second, seq) == MachineRole::planner &&
           at->second.plans_from && seq >= *at->second.plans_from;
}

Judgement Roster::judge(const Entry& entry) const
{
    if (!enrolled() || accepted_.count(entry.id) > 0) return {};
    const auto at = machines_.find(entry.dev);
    if (at == machines_.end()) return {"R04", "the machine " + entry.dev.substr(0, 16) + " is not enrolled"};
    const RosterMachine& machine = at->second;
    if (const auto& revoked = machine.revoked) {
        const bool counts =
            entry.seq < revoked->last_seq || (entry.seq == revoked->last_seq && entry.id == revoked->last_id);
        if (!counts)
            return {"R05", who(machine, entry) + ": the machine was revoked after its entry " +
                               std::to_string(revoked->last_seq) +
                               (revoked->reason.empty() ? "" : " (" + revoked->reason + ")")};
    }
    const MachineRole role = role_at(machine, entry.seq);
    if (!may(role, entry.said.kind))
        return {"R09", who(machine, entry) + ": a machine of role " + machine_role_name(role) +
                           " may not say '" + entry.said.kind + "'"};
    if (is_signed_by_person(entry.said.kind) && entry.seq >= machine.signs_from)
        return judge_person(entry, machine, "supervisor");
    if (is_signed_by_planner(entry.said.kind) && machine.plans_from && entry.seq >= *machine.plans_from)
        return judge_person(entry, machine, "planner");
    return {};
}

Judgement Roster::judge_person(const Entry& entry, const RosterMachine& machine,
                               const char* wanted_role) const
{
    const std::string where = who(machine, entry);
    const std::string key   = text_in(entry.body(), "pkey");
    if (key.empty() || text_in(entry.body(), "psig").empty())
        return {"R09", where + ": '" + entry.said.kind + "' without the own signature of a " + wanted_role};
    const auto at = persons_.find(key);
    if (at == persons_.end())
        return {"R04", where + ": the key of badge " + entry.said.actor + " is not enrolled"};
    const RosterPerson& person = at->second;
    if (person.badge != entry.said.actor)
        return {"R09", where + ": signed with the key of badge " + person.badge + " in the name of badge " +
                           entry.said.actor};
    if (!person_signature_fits(entry))
        return {"R06", where + ": the signature of badge " + person.badge + " does not match"};
    if (person.role != wanted_role)
        return {"R09", where + ": badge " + person.badge + " is " + person.role + ", not " + wanted_role};
    if (!person.ended) return {};
    const auto last = person.ended->find(entry.dev);
    if (last != person.ended->end() && entry.seq <= last->second) return {};
    return {"R05", where + ": the key of badge " + person.badge + " had been ended" +
                       (person.reason.empty() ? "" : " (" + person.reason + ")")};
}

} // namespace engine
