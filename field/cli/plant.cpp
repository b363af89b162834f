// witnessmark plant: a plant founded from its first minute, and a machine that joins one.
#include "engine/base/files.h"
#include "engine/catalogue/columns.h"
#include "field/cli/commands.h"
#include "field/cli/secret.h"
#include "sync/disk_folder.h"
#include "sync/enrolment.h"
#include "sync/exchange.h"
#include "sync/founding.h"
#include "sync/plant_file.h"

#include <CLI/CLI.hpp>
#include <unistd.h>

#include <fstream>
#include <iostream>
#include <memory>
#include <system_error>

namespace field::cli {
namespace {

namespace fs = std::filesystem;
using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;

struct PlantWish {
    std::string name, shared, book, machine, key, badge, pin_file, passphrase_file, templates, fingerprint;
    bool        quick = false;
};

/// A new secret is asked for twice at a terminal: what nobody can open again is worse than none.
Result<std::string> new_secret(const std::string& file, const std::string& what)
{
    auto secret = secret_from(file, what);
    if (!secret || !file.empty() || ::isatty(STDIN_FILENO) == 0) return secret;
    const auto again = secret_from(file, what + ", once more");
    if (again && *again == *secret) return secret;
    return failure(Fault::bad_input, "The two were not the same; nothing was made, begin again.");
}

/// Nothing stands in the way of a new book.
Status free_place(const std::string& book)
{
    std::error_code none;
    for (const char* ending : {"", ".key", ".d"})
        if (fs::exists(book + ending, none))
            return failure(Fault::conflict, "'" + book + ending + "' is there already; name a new book.");
    return engine::Unit{};
}

/// A book that did not come to be: it holds nothing but what its machine said of itself.
void take_back(const std::string& book)
{
    std::error_code none;
    for (const char* ending : {"", "-wal", "-shm", ".key", ".lock", ".d"})
        fs::remove_all(book + ending, none);
}

Result<share::DiskFolder> folder_to_found_in(const std::string& shared)
{
    std::error_code trouble;
    fs::create_directories(shared, trouble);
    auto folder = share::DiskFolder::open(shared);
    if (!folder) return folder;
    const auto whose = share::whose_folder(*folder);
    if (!whose) return whose.failure();
    if (*whose)
        return failure(Fault::conflict, "The shared folder is of a plant already (" + (*whose)->name +
                                            "); join it by `plant join`, or name another folder.");
    const auto listing = share::list_folder(*folder, "");
    if (!listing) return listing.failure();
    if (listing->machines.empty()) return folder;
    return failure(Fault::conflict,
                   "Machines have left their record in the shared folder already; name an empty one.");
}

/// One file a kind of thing the planner brings in; what is there already is left alone.
Status write_templates(const fs::path& folder)
{
    std::error_code trouble;
    fs::create_directories(folder, trouble);
    for (const engine::PlannerFile kind : engine::kPlannerFiles) {
        const fs::path file = folder / (std::string(name_of(kind)) + ".csv");
        if (fs::exists(file, trouble)) continue;
        std::ofstream out(file);
        out << engine::template_text(kind);
        out.close();
        if (!out) return failure(Fault::io, "The template " + file.string() + " could not be written.");
    }
    return engine::Unit{};
}

Status found_in(const PlantWish& wish, share::DiskFolder& folder, engine::Book& book,
                const engine::Clock& clock)
{
    auto pin = new_secret(wish.pin_file, "PIN for planner " + wish.badge);
    if (!pin) return pin.failure();
    auto passphrase = new_secret(wish.passphrase_file, "passphrase for the plant key");
    if (!passphrase) return passphrase.failure();
    share::Founding founding{wish.key, *passphrase, wish.quick, wish.badge, *pin};
    const auto      key = share::found(book, founding, clock.now().wall_ms);
    if (!key) return key.failure();
    if (const auto sent = share::exchange(book, folder, clock); !sent) return sent.failure();
    return engine::Unit{};
}

void say_what_next(const PlantWish& wish, const engine::Book& book)
{
    const std::string at = " --book " + wish.book;
    std::cout
        << "Plant " << book.plant() << " is founded, its id " << book.plant_mark().id
        << ".\nFingerprint of its key, to be printed and hung up: "
        << engine::fingerprint_of(book.roster().root_key()) << "\nThis machine, " << book.machine_name()
        << ", and badge " << wish.badge << " are its planner's.\nThe plant key is in " << wish.key
        << ": keep it off the tablets, and a copy in a safe place.\n\nNext:\n"
        << "1. Fill in the files in " << wish.templates << "; they say what each column holds.\n"
        << "2. Bring each of them in, units, instruments and people before jobs:\n"
        << "     witnessmark units import " << wish.templates << "/units.csv" << at << " --actor "
        << wish.badge << "\n3. Put them into the shared folder, and fetch what the tablets did:\n"
        << "     witnessmark exchange" << at << " --shared " << wish.shared
        << "\n4. On each tablet, with the fingerprint from the paper:\n"
        << "     witnessmark plant join --shared " << wish.shared
        << " --book TABLET.book --machine NAME --fingerprint FINGERPRINT\n"
        << "5. Here, with the code it shows, read at the tablet:\n"
        << "     witnessmark enrol add CODE --role recorder" << at << " --key " << wish.key
        << "\nThe README tells the rest: a supervisor's key, the first job, the first countersignature.\n";
}

Status new_plant(PlantWish wish)
{
    const fs::path beside = fs::path(wish.book).parent_path();
    if (wish.key.empty()) wish.key = (beside / "plant.key").string();
    if (wish.templates.empty()) wish.templates = (beside / "templates").string();
    if (Status good = share::good_name("plant", wish.name); !good) return good;
    if (Status good = share::good_name("machine", wish.machine); !good) return good;
    if (Status vacant = free_place(wish.book); !vacant) return vacant;
    if (std::error_code none; fs::exists(wish.key, none))
        return failure(Fault::conflict,
                       "'" + wish.key + "' is there already; name another file for the key.");
    auto folder = folder_to_found_in(wish.shared);
    if (!folder) return folder.failure();
    if (Status made = write_templates(wish.templates); !made) return made;
    const auto          clock = engine::system_clock();
    engine::BookOptions options;
    options.machine_name = wish.machine;
    options.plant        = wish.name;
    options.mark         = {engine::new_plant_id(), false};
    const Status founded = [&]() -> Status {
        auto book = engine::Book::open(wish.book, *clock, options, true);
        if (!book) return book.failure();
        if (Status done = found_in(wish, *folder, *book, *clock); !done) return done;
        say_what_next(wish, *book);
        return engine::Unit{};
    }();
    if (!founded) take_back(wish.book);
    return founded;
}

std::string plain_digits(std::string text)
{
    std::erase_if(text, [](char c) { return c == ' ' || c == '-' || c == ':'; });
    return text;
}

/// The plant key with that fingerprint, trusted; or the sentence that asks for it.
Status trust_if_named(const PlantWish& wish, engine::Book& book, const share::FolderOffer& offer)
{
    if (wish.fingerprint.empty()) return engine::Unit{};
    std::string wanted;
    for (const std::string& key : offer.plant_keys)
        if (plain_digits(engine::fingerprint_of(key)) == plain_digits(wish.fingerprint)) wanted = key;
    const auto taken = share::trust_offered(book, offer, wanted);
    if (!taken) return taken.failure();
    return engine::Unit{};
}

void say_how_joined(const PlantWish& wish, const engine::Book& book, const share::FolderOffer& offer)
{
    std::cout << "This machine, " << book.machine_name() << ", is of " << engine::title_of(standing_of(book))
              << " now. Its figures: " << share::figures_of(book.device())
              << "\nCode for the holder of the plant key: " << share::text_of(share::own_code(book)) << '\n';
    if (!book.roster().trusts() && !offer.plant_keys.empty())
        std::cout << "The folder carries an enrolment list. Read the fingerprint on the paper in the plant, "
                     "then:\n     witnessmark enrol trust FINGERPRINT --book "
                  << wish.book << " --shared " << wish.shared << '\n';
}

Status join(const PlantWish& wish)
{
    if (Status good = share::good_name("machine", wish.machine); !good) return good;
    if (Status vacant = free_place(wish.book); !vacant) return vacant;
    auto folder = share::DiskFolder::open(wish.shared);
    if (!folder) return folder.failure();
    const auto whose = share::plant_to_join(*folder);
    if (!whose) return whose.failure();
    if (!*whose)
        return failure(Fault::not_found, "The shared folder does not say which plant it is of; found one by "
                                         "`plant new`, or exchange once from a machine of the plant.");
    const auto          clock = engine::system_clock();
    engine::BookOptions options;
    options.machine_name = wish.machine;
    options.plant        = (*whose)->name;
    options.mark         = (*whose)->mark;
    const Status joined  = [&]() -> Status {
        auto book = engine::Book::open(wish.book, *clock, options, true);
        if (!book) return book.failure();
        const auto offer = share::look_into(*folder, book->plant(), share::known_folders(*book));
        if (!offer) return offer.failure();
        if (Status trusted = trust_if_named(wish, *book, *offer); !trusted) return trusted;
        if (const auto met = share::exchange(*book, *folder, *clock); !met) return met.failure();
        say_how_joined(wish, *book, *offer);
        return engine::Unit{};
    }();
    if (!joined) take_back(wish.book);
    return joined;
}

void conclude_plant(Outcome& outcome, const Status& done)
{
    if (!done) outcome.exit_code = complain(done.error());
}

} // namespace

void add_plant(CLI::App& app, Outcome& outcome)
{
    CLI::App* group = app.add_subcommand("plant", "A plant of its own: founding it, joining it");
    group->require_subcommand(1);
    const auto wish  = std::make_shared<PlantWish>();
    CLI::App*  fresh = group->add_subcommand(
         "new", "Founds a plant: its key, its first planner, this machine as the planner's, files to fill in");
    CLI::App* joins =
        group->add_subcommand("join", "Makes the book of a new machine for the plant of a shared folder");
    for (CLI::App* command : {fresh, joins}) {
        command->add_option("--shared", wish->shared, "the folder the machines share")->required();
        command->add_option("--book", wish->book, "the book to make for this machine")->required();
    }
    fresh->add_option("--name", wish->name, "name of the plant")->required();
    fresh->add_option("--machine", wish->machine, "name of this machine")->default_val("office");
    fresh->add_option("--badge", wish->badge, "badge of the first planner")->required();
    fresh->add_option("--pin-file", wish->pin_file,
                      "file whose first line is the planner's PIN; without it, it is asked for");
    fresh->add_option(
        "--passphrase-file", wish->passphrase_file,
        "file whose first line is the passphrase for the plant key; without it, it is asked for");
    fresh->add_option("--key", wish->key,
                      "file to put the plant key into (default: plant.key beside the book)");
    fresh->add_option("--templates", wish->templates,
                      "folder for the files to fill in (default: templates beside the book)");
    fresh->add_flag("--quick", wish->quick,
                    "64 MiB instead of 256 MiB for the passphrase; for small machines");
    joins->add_option("--machine", wish->machine, "name of this machine, such as T-07")->required();
    joins->add_option(
        "--fingerprint", wish->fingerprint,
        "fingerprint of the plant key as it stands on the paper; without it `enrol trust` follows");
    fresh->callback([wish, &outcome] { conclude_plant(outcome, new_plant(*wish)); });
    joins->callback([wish, &outcome] { conclude_plant(outcome, join(*wish)); });
}

} // namespace field::cli
