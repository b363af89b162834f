#include "engine/book/roster.h"

#include "engine/book/json_text.h"

#include <algorithm>
#include <array>
#include <utility>

namespace engine {
namespace {

using nlohmann::json;

constexpr std::array kRoleNames{
    std::pair{MachineRole::recorder, "recorder"}, std::pair{MachineRole::supervisor, "supervisor"},
    std::pair{MachineRole::planner, "planner"}, std::pair{MachineRole::auditor, "auditor"}};
constexpr std::array kPersonRoles{"fitter", "supervisor", "auditor", "planner"};

Failure wrong(const std::string& what)
{
    return failure(Fault::bad_input, "The statement of the enrolment list cannot be taken: " + what + ".");
}

std::optional<std::uint64_t> number_in(const json& body, const char* key)
{
    const auto at = body.find(key);
    if (at == body.end() || !at->is_number_integer() || at->get<std::int64_t>() < 0) return std::nullopt;
    return at->get<std::uint64_t>();
}

/// The one key of `root` and `root.rotate`; more than one, or a threshold above one, is for a later version.
Result<std::string> key_of(const json& body)
{
    const auto keys      = body.find("keys");
    const auto threshold = number_in(body, "threshold");
    if (keys == body.end() || !keys->is_array() || keys->empty() || !keys->front().is_string() || !threshold)
        return wrong("it names no plant key");
    if (keys->size() > 1 || *threshold != 1)
        return failure(Fault::unsupported,
                       "The enrolment list asks for several plant keys; update this machine.");
    std::string key = keys->front().get<std::string>();
    if (!is_key(key)) return wrong("the plant key in it is no valid key");
    return key;
}

} // namespace

const char* machine_role_name(MachineRole role)
{
    for (const auto& [known, name] : kRoleNames)
        if (known == role) return name;
    return "";
}

std::optional<MachineRole> machine_role_named(std::string_view name)
{
    for (const auto& [known, text] : kRoleNames)
        if (name == text) return known;
    return std::nullopt;
}

std::string fingerprint_of(const std::string& key_hex)
{
    const auto key = hash_from_hex(key_hex);
    if (!key) return {};
    const std::string digits = hex(sha256(std::span<const unsigned char>(*key)));
    std::string       text;
    for (std::size_t i = 0; i < 32; i += 4)
        text += (i == 0 ? "" : " ") + digits.substr(i, 4);
    return text;
}

Status Roster::apply(const Statement& statement)
{
    if (statement.plant != plant_) return wrong("it belongs to another plant (" + statement.plant + ")");
    if (statement.seq <= ids_.size()) {
        if (ids_[statement.seq - 1] == statement.id) return Unit{};
        return failure(Fault::conflict, "There are two different statements number " +
                                            std::to_string(statement.seq) +
                                            " of the enrolment list; the holder of the plant key must say "
                                            "which one counts.");
    }
    if (statement.seq != ids_.size() + 1)
        return failure(Fault::corrupt, "Statements " + std::to_string(ids_.size() + 1) + " to " +
                                           std::to_string(statement.seq - 1) +
                                           " of the enrolment list are missing.");
    if (statement.prev != head())
        return failure(Fault::corrupt, "Statement " + std::to_string(statement.seq) +
                                           " of the enrolment list does not follow the one before it.");
    if (statement.by != root_)
        return failure(Fault::unknown_signer, "Statement " + std::to_string(statement.seq) +
                                                  " of the enrolment list is not signed by the plant key "
                                                  "this machine trusts.");
    if (Status taken = take_in(statement); !taken) return taken;
    ids_.push_back(statement.id);
    return Unit{};
}

Status Roster::take_in(const Statement& statement)
{
    const json& body = *statement.body;
    if ((statement.seq == 1) != (statement.kind == statement_kind::root))
        return wrong("the first statement, and only it, names the plant key");
    if (statement.kind == statement_kind::root) {
        const auto key = key_of(body);
        if (!key) return key.failure();
        if (*key != root_) return wrong("it names another plant key than the one that signed");
        mark_ = plant_mark_in(body);
        return Unit{};
    }
    if (statement.kind == statement_kind::rotate) return rotate(statement);
    if (statement.kind == statement_kind::add) return add(body);
    if (statement.kind == statement_kind::revoke) return revoke(statement);
    if (statement.kind == statement_kind::person) return person(body);
    if (statement.kind == statement_kind::person_end) return end_person(body);
    if (statement.kind == statement_kind::accept) return accept(body);
    return failure(Fault::unsupported, "The enrolment list says '" + statement.kind +
                                           "', which this program does not know; update this machine.");
}

Status Roster::rotate(const Statement& statement)
{
    const auto key = key_of(*statement.body);
    if (!key) return key.failure();
    root_ = *key;
    return Unit{};
}

Status Roster::add(const json& body)
{
    const std::string dev  = text_in(body, "dev");
    const auto        role = machine_role_named(text_in(body, "role"));
    const auto        from = number_in(body, "from");
    if (!is_key(dev)) return wrong("the machine key in it is no valid key");
    if (!role) return wrong("a machine is recorder, supervisor, planner or auditor");
    RosterMachine& machine = machines_[dev];
    if (machine.revoked) return wrong("a revoked machine comes back with a new key only");
    if (!machine.roles.empty() && from.value_or(1) <= machine.roles.back().from)
        return wrong("a new role holds from a later entry than the role before");
    machine.name = text_in(body, "name");
    if (machine.roles.empty()) machine.signs_from = number_in(body, "signs_from").value_or(1);
    if (!machine.plans_from) machine.plans_from = number_in(body, "plans_from");
    machine.roles.push_back({from.value_or(1), *role});
    return Unit{};
}

Status Roster::revoke(const Statement& statement)
{
    const json&       body     = *statement.body;
    const std::string dev      = text_in(body, "dev");
    const auto        last_seq = number_in(body, "last_seq");
    const std::string last_id  = text_in(body, "last_id");
    const auto        at       = machines_.find(dev);
    if (at == machines_.end()) return wrong("it revokes a machine that was never added");
    if (!last_seq || (*last_seq > 0 && !hash_from_hex(last_id)))
        return wrong("it does not say up to which entry the machine counts");
    if (at->second.revoked) return wrong("the machine was revoked before");
    at->second.revoked = RosterMachine::Revoked{*last_seq, last_id, text_in(body, "reason"), statement.at_ms};
    return Unit{};
}

Status Roster::person(const json& body)
{
    const std::string key   = text_in(body, "key");
    const std::string badge = text_in(body, "badge");
    const std::string role  = text_in(body, "role");
    if (!is_key(key)) return wrong("the person's key in it is no valid key");
    if (badge.empty()) return wrong("it names no badge");
    if (std::find(kPersonRoles.begin(), kPersonRoles.end(), role) == kPersonRoles.end())
        return wrong("a person is fitter, supervisor, auditor or planner");
    if (persons_.count(key) > 0 || machines_.count(key) > 0) return wrong("the key is in use already");
    persons_[key] = {badge, text_in(body, "name"), role, std::nullopt, ""};
    return Unit{};
}

Status Roster::end_person(const json& body)
{
    const auto at = persons_.find(text_in(body, "key"));
    if (at == persons_.end()) return wrong("it ends a person's key that was never added");
    const auto heads = body.find("heads");
    if (heads == body.end() || !heads->is_array()) return wrong("it does not say what still counts");
    std::map<std::string, std::uint64_t> ended;
    for (const json& head : *heads) {
        const auto seq = head.is_object() ? number_in(head, "seq") : std::nullopt;
        if (!seq) return wrong("it does not say what still counts");
        ended[text_in(head, "dev")] = *seq;
    }
    at->second.ended  = std::move(ended);
    at->second.reason = text_in(body, "reason");
    return Unit{};
}

Status Roster::accept(const json& body)
{
    const auto ids = body.find("ids");
    if (ids == body.end() || !ids->is_array()) return wrong("it names no entries");
    std::set<std::string> accepted = accepted_; // all of them or none
    for (const json& id : *ids) {
        if (!id.is_string() || !hash_from_hex(id.get<std::string>())) return wrong("it names no entries");
        accepted.insert(id.get<std::string>());
    }
    accepted_ = std::move(accepted);
    return Unit{};
}

} // namespace engine
