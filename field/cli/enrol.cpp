// witnessmark enrol: the plant key, the machines and persons it enrols, and what a machine shows of itself.
#include "engine/book/locked_key.h"
#include "engine/book/pin_tries.h"
#include "field/cli/commands.h"
#include "field/cli/plant_notice.h"
#include "field/cli/secret.h"
#include "sync/disk_folder.h"
#include "sync/enrolment.h"
#include "sync/names.h"
#include "sync/plant_file.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <iostream>
#include <memory>
#include <string>

namespace field::cli {
namespace {

using engine::failure;
using engine::Fault;
using nlohmann::json;

struct Wish {
    std::string              book, shared, key, secret_file, code, name, role, reason, badge, machine;
    std::vector<std::string> ids;
    std::string              only; ///< of what is shown: code, plant
    std::uint64_t            last    = 0;
    bool                     as_json = false, quick = false;
};

/// A book opened for one command.
struct Desk {
    std::unique_ptr<engine::Clock> clock = engine::system_clock();
    std::optional<engine::Book>    book;

    [[nodiscard]] engine::Status open(const Wish& wish, bool reads_only = false)
    {
        engine::BookOptions options;
        options.read_only = options.one_moment = reads_only; // beside a program that has it open
        auto opened                            = engine::Book::open(wish.book, *clock, options, false);
        if (!opened) return opened.failure();
        book.emplace(*std::move(opened));
        return engine::Unit{};
    }
    [[nodiscard]] engine::Result<engine::MachineKey> plant_key(const Wish& wish) const
    {
        const auto locked = engine::LockedKey::load(wish.key);
        if (!locked) return locked.failure();
        const auto secret = secret_from(wish.secret_file, "passphrase of the plant key");
        if (!secret) return secret.failure();
        return locked->unlock(*secret);
    }
    [[nodiscard]] engine::Status say_as_plant(const Wish& wish, const engine::Result<share::Saying>& saying)
    {
        if (!saying) return saying.failure();
        const auto key = plant_key(wish);
        if (!key) return key.failure();
        return share::say(*book, *key, *saying, clock->now().wall_ms);
    }
};

engine::Status make_plant_key(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    if (desk.book->roster().trusts())
        return failure(Fault::conflict, "This plant is enrolled already; its key is " +
                                            engine::fingerprint_of(desk.book->roster().root_key()) + ".");
    const auto secret = secret_from(wish.secret_file, "passphrase for the plant key");
    if (!secret) return secret.failure();
    const engine::MachineKey key    = engine::MachineKey::generate();
    const auto               locked = engine::LockedKey::make(key, "plant " + desk.book->plant(), *secret,
                                                wish.quick ? engine::Lock::quick : engine::Lock::firm);
    if (!locked) return locked.failure();
    if (engine::Status saved = locked->save(wish.key); !saved) return saved;
    // A plant that has no id yet, as those of earlier versions, gets one with its key.
    if (desk.book->plant_mark().id.empty())
        if (engine::Status named = desk.book->adopt_plant({engine::new_plant_id(), false}); !named)
            return named;
    if (engine::Status trusted = desk.book->trust_root(key.device()); !trusted) return trusted;
    const std::int64_t  now    = desk.clock->now().wall_ms;
    const share::Saying begins = share::plant_begins(key.device(), desk.book->plant_mark());
    if (engine::Status said = share::say(*desk.book, key, begins, now); !said) return said;
    const auto joins = share::machine_joins(*desk.book, share::own_code(*desk.book), "planner");
    if (!joins) return joins.failure();
    if (engine::Status said = share::say(*desk.book, key, *joins, now); !said) return said;
    std::cout
        << "The plant key of " << desk.book->plant() << " is in " << wish.key
        << ". Keep it off the tablets, and a copy in a safe place.\nFingerprint, to be printed and hung up: "
        << engine::fingerprint_of(key.device()) << "\nThis machine, " << desk.book->machine_name()
        << ", is enrolled as planner.\n";
    return engine::Unit{};
}

/// One thing alone, for whoever hands it on: the code of this machine or of a person with a key on it, or the
/// fingerprint of the plant key.
engine::Status show_only(const Wish& wish, const engine::Book& book)
{
    if (wish.only == "plant") {
        if (!book.roster().trusts())
            return failure(Fault::not_found, "No plant key is trusted here; see `enrol trust`.");
        std::cout << engine::fingerprint_of(book.roster().root_key()) << '\n';
        return engine::Unit{};
    }
    if (wish.badge.empty()) {
        std::cout << share::text_of(share::own_code(book)) << '\n';
        return engine::Unit{};
    }
    const auto key = engine::LockedKey::load(book.person_key_file(wish.badge));
    if (!key) return key.failure();
    std::cout << share::text_of({book.plant(), wish.badge, key->key(), true}) << '\n';
    return engine::Unit{};
}

engine::Status show(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish, true); !opened) return opened;
    const engine::Book& book = *desk.book;
    if (!wish.only.empty()) return show_only(wish, book);
    const std::string code = share::text_of(share::own_code(book));
    const bool        on   = book.roster().machines().count(book.device()) > 0;
    if (wish.as_json) {
        json document{{"code", code},
                      {"fingerprint", share::device_folder(book.device())},
                      {"plant_fingerprint", engine::fingerprint_of(book.roster().root_key())},
                      {"enrolled_plant", book.roster().enrolled()},
                      {"enrolled", on}};
        put_plant(document, standing_of(book));
        std::cout << document.dump(2) << '\n';
        return engine::Unit{};
    }
    std::cout << "Machine " << book.machine_name() << ", fingerprint " << share::device_folder(book.device())
              << "\nCode (as text or QR): " << code << '\n';
    print_plant(std::cout, standing_of(book));
    if (!book.roster().enrolled())
        std::cout << "Unenrolled plant: no plant key is trusted here, every machine of the folder counts.\n";
    else
        std::cout << "Plant key " << engine::fingerprint_of(book.roster().root_key()) << "; this machine is "
                  << (on ? "enrolled.\n" : "waiting to be enrolled; work goes on meanwhile.\n");
    return engine::Unit{};
}

engine::Result<share::FolderOffer> offer_of(const Wish& wish, const engine::Book& book)
{
    auto folder = share::DiskFolder::open(wish.shared);
    if (!folder) return folder.failure();
    const auto whose = share::whose_folder(*folder);
    if (!whose) return whose.failure();
    if (*whose)
        if (engine::Status may = share::may_use(book, **whose); !may) return may.failure();
    return share::look_into(*folder, book.plant(), share::known_folders(book));
}

std::string digits_of(std::string text)
{
    std::erase_if(text, [](char c) { return c == ' ' || c == '-' || c == ':'; });
    return text;
}

engine::Status trust(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    const auto offer = offer_of(wish, *desk.book);
    if (!offer) return offer.failure();
    std::string wanted;
    for (const std::string& key : offer->plant_keys)
        if (digits_of(engine::fingerprint_of(key)) == digits_of(wish.code)) wanted = key;
    const auto taken = share::trust_offered(*desk.book, *offer, wanted);
    if (!taken) return taken.failure();
    std::cout << "This machine trusts the plant key now; " << *taken << " statements read.\n";
    return engine::Unit{};
}

engine::Status import(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    const auto offer = offer_of(wish, *desk.book);
    if (!offer) return offer.failure();
    const auto taken = desk.book->take_statements(offer->statements);
    if (!taken) return taken.failure();
    std::cout << *taken << " new statements of the enrolment list; it stands at " << desk.book->roster().seq()
              << ".\n";
    return engine::Unit{};
}

engine::Status add(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    const auto code = share::enrol_code(wish.code);
    if (!code) return code.failure();
    if (engine::Status said = desk.say_as_plant(wish, share::machine_joins(*desk.book, *code, wish.role));
        !said)
        return said;
    std::cout << code->name << " is enrolled as " << wish.role << ", fingerprint "
              << share::device_folder(code->key) << ".\n";
    return engine::Unit{};
}

engine::Status revoke(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    const auto dev = share::machine_named(*desk.book, wish.machine);
    if (!dev) return dev.failure();
    const std::uint64_t last = wish.last > 0 ? wish.last : share::last_entry_of(*desk.book, *dev);
    if (engine::Status said =
            desk.say_as_plant(wish, share::machine_leaves(*desk.book, *dev, wish.reason, last));
        !said)
        return said;
    std::cout << "Revoked: what it signed up to entry " << last << " counts, nothing after it.\n";
    return engine::Unit{};
}

engine::Status make_person_key(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    if (engine::Status may = engine::may_try_pin(*desk.book, wish.badge, *desk.clock); !may) return may;
    const auto pin = secret_from(wish.secret_file, "PIN");
    if (!pin) return pin.failure();
    const engine::Person* const person = desk.book->catalogue().person(wish.badge);
    const auto made = share::make_person_key({desk.book->person_key_file(wish.badge), wish.badge, *pin,
                                              person != nullptr ? person->pin_check : std::string()});
    if (!made && made.error().fault == Fault::refused)
        return engine::after_wrong_pin(*desk.book, wish.badge, *desk.clock, made.error());
    if (!made) return made.failure();
    std::cout << "Code for the holder of the plant key: "
              << share::text_of({desk.book->plant(), wish.badge, *made, true}) << '\n';
    return engine::Unit{};
}

engine::Status person(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    const auto code = share::enrol_code(wish.code);
    if (!code) return code.failure();
    if (engine::Status said =
            desk.say_as_plant(wish, share::person_joins(*desk.book, *code, wish.role, wish.name));
        !said)
        return said;
    std::cout << "Badge " << code->name << " is enrolled as " << wish.role << ".\n";
    return engine::Unit{};
}

engine::Status end_person(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    std::string in_force; // one key a call: the list moves on with it
    for (const auto& [key, known] : desk.book->roster().persons())
        if (in_force.empty() && known.badge == wish.badge && !known.ended) in_force = key;
    if (in_force.empty()) return failure(Fault::not_found, "Badge " + wish.badge + " has no key in force.");
    if (engine::Status said =
            desk.say_as_plant(wish, share::person_leaves(*desk.book, in_force, wish.reason));
        !said)
        return said;
    std::cout << "The key of badge " << wish.badge << " is ended; what it signed up to now counts.\n";
    return engine::Unit{};
}

engine::Status accept(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    if (engine::Status said = desk.say_as_plant(wish, share::entries_count(wish.ids, wish.reason)); !said)
        return said;
    std::cout << wish.ids.size() << " entries count from now on.\n";
    return engine::Unit{};
}

/// Entries the list sets aside: what `enrol accept` is given.
json set_aside_of(const engine::Book& book, std::size_t most)
{
    json list = json::array();
    for (const auto& one : book.barred(most)) {
        std::string name;
        for (const auto& machine : book.machines())
            if (machine.dev == one.dev) name = machine.name;
        list.push_back({{"dev", one.dev},
                        {"machine", name},
                        {"seq", one.seq},
                        {"id", one.id},
                        {"code", one.code},
                        {"sentence", one.sentence}});
    }
    return list;
}

/// What waits for the holder of the plant key: entries set aside here, machines that wrote into the folder.
engine::Status show_waiting(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish); !opened) return opened;
    constexpr std::size_t kMostShown = 1000;
    const json            aside      = set_aside_of(*desk.book, kMostShown);
    share::FolderOffer    offer;
    if (!wish.shared.empty()) {
        auto looked = offer_of(wish, *desk.book);
        if (!looked) return looked.failure();
        offer = *std::move(looked);
    }
    if (wish.as_json) {
        json machines = json::array();
        for (const auto& code : offer.machines)
            machines.push_back({{"name", code.name},
                                {"fingerprint", share::device_folder(code.key)},
                                {"code", share::text_of(code)}});
        std::cout << json{{"set_aside", aside},
                          {"set_aside_count", desk.book->barred_count()},
                          {"machines", machines}}
                         .dump(2)
                  << '\n';
        return engine::Unit{};
    }
    for (const json& one : aside)
        std::cout << one["id"].get<std::string>() << "  " << one["code"].get<std::string>() << "  "
                  << one["sentence"].get<std::string>() << ".\n";
    if (desk.book->barred_count() > aside.size())
        std::cout << "and " << desk.book->barred_count() - aside.size() << " more.\n";
    for (const auto& code : offer.machines)
        std::cout << "machine " << code.name << "  " << share::figures_of(code.key) << "  "
                  << share::text_of(code) << '\n';
    if (aside.empty() && offer.machines.empty()) std::cout << "Nothing waits.\n";
    return engine::Unit{};
}

json as_json(const engine::Book& book)
{
    const engine::Roster& roster   = book.roster();
    json                  machines = json::array();
    for (const auto& [dev, machine] : roster.machines())
        machines.push_back({{"dev", dev},
                            {"fingerprint", share::device_folder(dev)},
                            {"name", machine.name},
                            {"role", engine::machine_role_name(machine.roles.back().role)},
                            {"revoked", machine.revoked.has_value()}});
    json persons = json::array();
    for (const auto& [key, one] : roster.persons())
        persons.push_back(
            {{"key", key}, {"badge", one.badge}, {"role", one.role}, {"ended", one.ended.has_value()}});
    return {{"enrolled", roster.enrolled()},
            {"plant", book.plant()},
            {"seq", roster.seq()},
            {"plant_fingerprint", engine::fingerprint_of(roster.root_key())},
            {"machines", machines},
            {"persons", persons},
            {"set_aside", set_aside_of(book, 1000)}};
}

engine::Status list(const Wish& wish)
{
    Desk desk;
    if (engine::Status opened = desk.open(wish, true); !opened) return opened;
    const engine::Roster& roster = desk.book->roster();
    if (wish.as_json) {
        std::cout << as_json(*desk.book).dump(2) << '\n';
        return engine::Unit{};
    }
    if (!roster.enrolled()) {
        std::cout << "Unenrolled plant: no plant key is trusted here, every machine of the folder counts.\n";
        return engine::Unit{};
    }
    std::cout << "Plant " << desk.book->plant() << ", key " << engine::fingerprint_of(roster.root_key())
              << ", " << roster.seq() << " statements.\n";
    for (const auto& [dev, machine] : roster.machines())
        std::cout << "  machine " << machine.name << ' ' << share::device_folder(dev) << ' '
                  << engine::machine_role_name(machine.roles.back().role)
                  << (machine.revoked ? ", revoked after entry " + std::to_string(machine.revoked->last_seq)
                                      : "")
                  << '\n';
    for (const auto& [key, one] : roster.persons())
        std::cout << "  badge " << one.badge << ' ' << one.name << ' ' << one.role << ' ' << key.substr(0, 16)
                  << (one.ended ? ", ended" : "") << '\n';
    for (const auto& one : desk.book->barred(100))
        std::cout << "  set aside " << one.code << ": " << one.sentence << ". [" << one.id << "]\n";
    return engine::Unit{};
}

/// Options several of the commands share.
enum Needs : unsigned {
    none     = 0,
    key      = 1,
    code     = 2,
    role     = 4,
    reason   = 8,
    badge    = 16,
    shared   = 32,
    secret   = 64,
    json_out = 128
};

CLI::App* command(CLI::App& group, Outcome& outcome, const std::shared_ptr<Wish>& wish,
                  const std::pair<const char*, const char*>&           words,
                  std::pair<engine::Status (*)(const Wish&), unsigned> act)
{
    CLI::App* made = group.add_subcommand(words.first, words.second);
    made->add_option("--book", wish->book, "the book of this machine")->required();
    if ((act.second & Needs::key) != 0)
        made->add_option("--key", wish->key, "file of the plant key, locked by its passphrase")->required();
    if ((act.second & (Needs::key | Needs::secret)) != 0)
        made->add_option("--secret-file", wish->secret_file,
                         "file whose first line is the passphrase or PIN; without it, it is asked for");
    if ((act.second & Needs::code) != 0)
        made->add_option("code", wish->code, "what the other side shows (WM1:... or the fingerprint)")
            ->required();
    if ((act.second & Needs::role) != 0)
        made->add_option("--role", wish->role,
                         "machine: recorder, supervisor, planner, auditor; person: fitter, "
                         "supervisor, auditor, planner")
            ->required();
    if ((act.second & Needs::reason) != 0) made->add_option("--reason", wish->reason, "why")->required();
    if ((act.second & Needs::badge) != 0)
        made->add_option("--badge", wish->badge, "badge of the person")->required();
    if ((act.second & Needs::shared) != 0)
        made->add_option("--shared", wish->shared, "the folder the machines share")->required();
    if ((act.second & Needs::json_out) != 0) made->add_flag("--json", wish->as_json, "one JSON document");
    made->callback([wish, act, &outcome] {
        const engine::Status done = act.first(*wish);
        if (done) return;
        outcome.exit_code = complain(done.error());
        if (done.error().fault == Fault::refused) outcome.exit_code = 1;
    });
    return made;
}

} // namespace

void add_enrol(CLI::App& app, Outcome& outcome)
{
    CLI::App* group =
        app.add_subcommand("enrol", "Who belongs to the plant: its key, its machines, its persons");
    group->require_subcommand(1);
    const auto wish = std::make_shared<Wish>();
    const auto with = [&](const char* name, const char* what, engine::Status (*act)(const Wish&),
                          unsigned needs) {
        return command(*group, outcome, wish, {name, what}, {act, needs});
    };
    CLI::App* made = with("plant-key", "Makes the plant key and enrols this machine as planner",
                          &make_plant_key, Needs::key);
    made->add_flag("--quick", wish->quick,
                   "64 MiB instead of 256 MiB for the passphrase; for small machines");
    CLI::App* shown =
        with("show", "Fingerprint and code of this machine, to be enrolled", &show, Needs::json_out);
    shown->add_option("--only", wish->only, "nothing but the code, or the fingerprint of the plant key")
        ->check(CLI::IsMember({"code", "plant"}));
    shown->add_option("--badge", wish->badge, "with --only code: of the person whose key is on this machine");
    CLI::App* waits = with("waiting",
                           "What waits for the holder of the plant key: entries set aside, by id, and "
                           "machines of the folder that are not enrolled",
                           &show_waiting, Needs::json_out);
    waits->add_option("--shared", wish->shared, "the folder the machines share");
    with("trust", "Trusts the plant key with this fingerprint", &trust, Needs::code | Needs::shared);
    with("import", "Reads the enrolment list from the shared folder", &import, Needs::shared);
    with("add", "Enrols a machine, or gives it another role from its next entry on", &add,
         Needs::key | Needs::code | Needs::role);
    CLI::App* ended =
        with("revoke", "A machine is lost or leaves: what it signed so far counts, nothing later", &revoke,
             Needs::key | Needs::reason);
    ended->add_option("machine", wish->machine, "its name, fingerprint or key")->required();
    ended->add_option("--last", wish->last, "last entry that counts; otherwise the last one in this book");
    with("person-key", "Makes a person's key on this machine, locked by the PIN", &make_person_key,
         Needs::badge | Needs::secret);
    CLI::App* named =
        with("person", "Enrols a person's key", &person, Needs::key | Needs::code | Needs::role);
    named->add_option("--name", wish->name, "name of the person");
    with("end-person", "Ends a person's key", &end_person, Needs::key | Needs::badge | Needs::reason);
    CLI::App* taken =
        with("accept", "Lets entries count that were set aside", &accept, Needs::key | Needs::reason);
    taken->add_option("ids", wish->ids, "ids of the entries")->required();
    with("list", "Machines and persons of the plant, and what is set aside", &list, Needs::json_out);
}

} // namespace field::cli
