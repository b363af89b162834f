#include "field/cli/planner_desk.h"

#include "engine/book/locked_key.h"
#include "engine/book/pin_tries.h"
#include "field/cli/secret.h"
#include "sync/enrolment.h"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace field::cli {

using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;

namespace {

bool knows_a_planner(const engine::Catalogue& plant)
{
    return std::any_of(plant.people.begin(), plant.people.end(),
                       [](const auto& known) { return known.second.role == engine::Role::planner; });
}

Status is_planners_machine(const engine::Book& book, const std::string& what)
{
    const auto& machines = book.roster().machines();
    const auto  listed   = machines.find(book.device());
    if (listed == machines.end())
        return failure(Fault::refused, "This machine, " + book.machine_name() + ", waits to be enrolled; " +
                                           what + " are imported on a planner's machine.");
    if (listed->second.revoked)
        return failure(Fault::refused, "This machine, " + book.machine_name() + ", was revoked; " + what +
                                           " are imported on a planner's machine.");
    const engine::MachineRole role = listed->second.roles.back().role;
    if (role == engine::MachineRole::planner) return engine::Unit{};
    return failure(Fault::refused, "This machine, " + book.machine_name() + ", is enrolled as " +
                                       engine::machine_role_name(role) + "; " + what +
                                       " are imported on a planner's machine.");
}

/// Without a planner in the book nobody can say who may change a role, so none is changed.
Status keeps_roles(const engine::Catalogue& plant, const std::vector<engine::Draft>& drafts)
{
    for (const engine::Draft& draft : drafts) {
        if (draft.kind != engine::kind::person) continue;
        const auto            badge = draft.body->value("badge", "");
        const engine::Person* known = plant.person(badge);
        if (known == nullptr || draft.body->value("role", "") == name_of(known->role)) continue;
        return failure(Fault::refused, "Badge " + badge + " is " + std::string(name_of(known->role)) +
                                           " in this book; only a planner gives a known badge another role. "
                                           "Import a planner with a new badge first.");
    }
    return engine::Unit{};
}

} // namespace

Status may_plan(const engine::Book& book, const PlannerWish& wish)
{
    const engine::Catalogue& plant    = book.catalogue();
    const bool               enrolled = book.roster().enrolled();
    if (enrolled)
        if (const Status ours = is_planners_machine(book, wish.what); !ours) return ours;
    if (wish.actor.empty()) {
        if (!enrolled && !knows_a_planner(plant)) return engine::Unit{};
        return failure(Fault::bad_input, "Who imports " + wish.what + "? Name the planner: --actor BADGE.");
    }
    if (!enrolled && plant.people.empty()) return engine::Unit{};
    const engine::Person* person = plant.person(wish.actor);
    if (person == nullptr)
        return failure(Fault::bad_input, "There is no badge " + wish.actor +
                                             " in the book; import people first or give a known one.");
    if (person->role == engine::Role::planner) return engine::Unit{};
    return failure(Fault::refused, "Badge " + wish.actor + " is a " + std::string(name_of(person->role)) +
                                       "; a planner imports " + wish.what + ".");
}

Result<std::vector<engine::Draft>> as_planned(engine::Book& book, std::vector<engine::Draft> drafts,
                                              const PlannerWish& wish)
{
    if (drafts.empty()) return drafts;
    if (!knows_a_planner(book.catalogue()))
        if (const Status kept = keeps_roles(book.catalogue(), drafts); !kept) return kept.failure();
    // Only an enrolled plant whose list asks for the planner's signature needs the PIN.
    const std::uint64_t next = share::last_entry_of(book, book.device()) + 1;
    if (!book.roster().wants_planner(book.device(), next))
        return book.signed_by_person(std::move(drafts), "");
    const auto clock = engine::system_clock();
    if (const Status may = engine::may_try_pin(book, wish.actor, *clock); !may) return may.failure();
    auto pin = secret_from(wish.pin_file, "PIN of planner " + wish.actor);
    if (!pin) return pin.failure();
    if (const auto locked = engine::LockedKey::load(book.person_key_file(wish.actor)))
        if (const auto key = locked->unlock(*pin); !key && key.error().fault == Fault::refused)
            return engine::after_wrong_pin(book, wish.actor, *clock, key.error());
    return book.signed_by_person(std::move(drafts), *pin);
}

} // namespace field::cli
