#include "sync/founding.h"

#include "engine/book/catalogue_codec.h"
#include "engine/book/locked_key.h"
#include "sync/enrolment.h"

#include <algorithm>
#include <cctype>

namespace share {

using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;

namespace {

constexpr std::size_t kLongestName = 60;
constexpr std::size_t kShortestPin = 4, kLongestPin = 12; ///< as in the people file

Status good_pin(const std::string& pin)
{
    const bool digits = std::all_of(pin.begin(), pin.end(), [](unsigned char c) { return std::isdigit(c); });
    if (digits && pin.size() >= kShortestPin && pin.size() <= kLongestPin) return engine::Unit{};
    return failure(Fault::bad_input, "The planner's PIN cannot be a PIN; it has 4 to 12 digits.");
}

Status good_badge(const std::string& badge)
{
    const bool plain = !badge.empty() && badge.size() <= kLongestName &&
                       std::all_of(badge.begin(), badge.end(),
                                   [](unsigned char c) { return std::isalnum(c) || c == '-' || c == '_'; });
    if (plain) return engine::Unit{};
    return failure(Fault::bad_input,
                   "'" + badge + "' cannot be a badge; letters, digits, - and _ make one, such as 900.");
}

} // namespace

Status good_name(const std::string& what, const std::string& name)
{
    const bool plain = !name.empty() && name.size() <= kLongestName && name.front() != ' ' &&
                       name.back() != ' ' && std::none_of(name.begin(), name.end(), [](unsigned char c) {
                           return c < ' ' || c == 127 || c == ':' || c == '/';
                       });
    if (plain) return engine::Unit{};
    return failure(Fault::bad_input, "'" + name + "' cannot be the name of a " + what + "; it has 1 to " +
                                         std::to_string(kLongestName) +
                                         " characters without colon, slash or line break.");
}

Status enrol_person(engine::Book& book, const engine::MachineKey& plant_key, const NewPerson& person,
                    std::int64_t now_ms)
{
    const auto made =
        make_person_key({book.person_key_file(person.badge), person.badge, person.pin, person.pin_check});
    if (!made) return made.failure();
    const auto joins = person_joins(book, {book.plant(), person.badge, *made, true}, person.role, "");
    if (!joins) return joins.failure();
    return say(book, plant_key, *joins, now_ms);
}

Result<engine::MachineKey> found(engine::Book& book, const Founding& founding, std::int64_t now_ms)
{
    if (book.roster().trusts())
        return failure(Fault::conflict, "This plant is enrolled already; its key is " +
                                            engine::fingerprint_of(book.roster().root_key()) + ".");
    if (Status good = good_badge(founding.badge); !good) return good.failure();
    if (Status good = good_pin(founding.pin); !good) return good.failure();
    const auto plant_key = engine::MachineKey::generate();
    const auto locked    = engine::LockedKey::make(plant_key, "plant " + book.plant(), founding.passphrase,
                                                founding.quick ? engine::Lock::quick : engine::Lock::firm);
    if (!locked) return locked.failure();
    if (Status saved = locked->save(founding.key_file); !saved) return saved.failure();
    if (Status trusted = book.trust_root(plant_key.device()); !trusted) return trusted.failure();
    const Saying begins = plant_begins(plant_key.device(), book.plant_mark());
    if (Status said = say(book, plant_key, begins, now_ms); !said) return said.failure();
    const auto joins = machine_joins(book, own_code(book), "planner");
    if (!joins) return joins.failure();
    if (Status said = say(book, plant_key, *joins, now_ms); !said) return said.failure();
    const Status planner =
        enrol_person(book, plant_key, {founding.badge, "planner", founding.pin, ""}, now_ms);
    if (!planner) return planner.failure();

    const auto check = engine::pin_check_of(founding.pin);
    if (!check) return check.failure();
    const engine::Person person{founding.badge, engine::Role::planner, *check};
    const auto draft = book.signed_by_person(engine::draft_of(person, founding.badge), founding.pin);
    if (!draft) return draft.failure();
    if (const auto kept = book.append(*draft); !kept) return kept.failure();
    return plant_key;
}

} // namespace share
