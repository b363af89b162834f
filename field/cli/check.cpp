// witnessmark check: proves what was recorded. One `prove_...` function for each thing that can be proved;
// each hands back a Proof, and the command prints them all alike.
#include "engine/book/book.h"
#include "field/cli/check_state.h"
#include "field/cli/commands.h"
#include "field/cli/plant_notice.h"
#include "field/cli/progress.h"
#include "sync/check_shared.h"
#include "sync/disk_folder.h"
#include "sync/pack.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <functional>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

namespace field::cli {
namespace {

struct Proof {
    bool                     whole = true;
    std::string              what;        ///< "book t.book"
    std::string              counts;      ///< "120 entries, 120 signatures, 14 photos"
    std::string              first_break; ///< empty when whole
    std::string              last_break;  ///< the other end of the extent
    std::size_t              breaks = 0;
    std::vector<std::string> said;  ///< what else there is to know, a sentence each
    nlohmann::json           facts; ///< keys of --json
};

engine::Failure stopped(const Progress& progress)
{
    return engine::failure(engine::Fault::refused,
                           "The check was stopped at " + progress.reached() +
                               ": nothing is proved and nothing was changed. Go on with "
                               "--resume.");
}

engine::Result<Proof> prove_book(const std::string& file, bool show, CheckState& state)
{
    const std::filesystem::path path(file);
    Progress                    progress(show, "entries");
    const auto                  report = engine::check_book(path, std::ref(progress), &state.book);
    if (!report && report.error().fault == engine::Fault::refused && stop_asked()) return stopped(progress);
    if (!report) return report.failure();
    Proof proof;
    proof.whole  = report->whole;
    proof.what   = "book " + path.filename().string();
    proof.counts = std::to_string(report->entries) + " entries, " + std::to_string(report->signatures) +
                   " signatures, " + std::to_string(report->photos) + " photos";
    if (report->taken_over > 0)
        proof.counts += ", of the signatures " + std::to_string(report->taken_over) + " by the check before";
    if (report->photos_away > 0)
        proof.counts += ", " + std::to_string(report->photos_away) + " photos in the shared folder only";
    proof.first_break = report->first_break;
    proof.last_break  = report->last_break;
    proof.breaks      = report->breaks;
    proof.facts       = {{"entries", report->entries},
                         {"signatures", report->signatures},
                         {"photos", report->photos},
                         {"photos_missing", report->photos_missing},
                         {"photos_away", report->photos_away},
                         {"taken_over", report->taken_over},
                         {"breaks", report->breaks}};
    return proof;
}

engine::Result<Proof> prove_shared(const std::string& place, bool show, CheckState& state)
{
    const std::filesystem::path path(place);
    auto                        folder = share::DiskFolder::open(path);
    if (!folder) return folder.failure();
    Progress   progress(show, "files");
    const auto report = share::check_shared(*folder, std::ref(progress), &state.segments);
    if (!report) return report.failure();
    if (!report->ended) return stopped(progress);
    nlohmann::json machines = nlohmann::json::array();
    for (const share::SharedMachine& machine : report->machines)
        machines.push_back({{"machine", machine.devid},
                            {"name", machine.name},
                            {"plant", machine.plant},
                            {"entries", machine.last_seq}});
    nlohmann::json codes = nlohmann::json::array();
    for (const share::SharedBreak& one : report->list)
        codes.push_back(one.code);
    Proof proof;
    proof.whole  = report->whole;
    proof.what   = "shared folder " + (path.has_filename() ? path : path.parent_path()).filename().string();
    proof.counts = std::to_string(report->machines.size()) + " machines, " + std::to_string(report->entries) +
                   " entries, " + std::to_string(report->signatures) + " signatures, " +
                   std::to_string(report->photos) + " photos";
    if (report->photos_missing > 0)
        proof.counts += ", " + std::to_string(report->photos_missing) + " photos still to come";
    if (report->taken_over > 0)
        proof.counts += ", of the signatures " + std::to_string(report->taken_over) + " by the check before";
    proof.first_break = report->first_break;
    proof.last_break  = report->last_break;
    proof.breaks      = report->breaks;
    proof.facts       = {{"entries", report->entries},       {"signatures", report->signatures},
                         {"photos", report->photos},         {"photos_missing", report->photos_missing},
                         {"segments", report->segments},     {"heads", report->heads},
                         {"foreign_names", report->foreign}, {"statements", report->statements},
                         {"witnesses", report->witnesses},   {"set_aside", report->set_aside},
                         {"breaks", report->breaks},         {"taken_over", report->taken_over},
                         {"codes", std::move(codes)},        {"machines", machines}};
    return proof;
}

nlohmann::json json_of(const std::vector<share::pack::JobCompleteness>& jobs)
{
    nlohmann::json list = nlohmann::json::array();
    for (const auto& job : jobs)
        list.push_back({{"job", job.job},
                        {"proven", job.proven},
                        {"broken", job.broken},
                        {"covered", job.covered},
                        {"later", job.later},
                        {"sentence", job.sentence}});
    return list;
}

engine::Result<Proof> prove_pack(const std::string& place, bool show)
{
    const std::filesystem::path path(place);
    auto                        folder = share::DiskFolder::open(path);
    if (!folder) return folder.failure();
    Progress   progress(show, "photos");
    const auto report = share::check_pack(*folder, std::ref(progress));
    if (!report) return report.failure();
    if (!report->ended)
        return engine::failure(engine::Fault::refused, "The check was stopped at " + progress.reached() +
                                                           ": nothing is proved and nothing was changed.");
    Proof proof;
    proof.whole  = report->whole;
    proof.what   = "pack " + (path.has_filename() ? path : path.parent_path()).filename().string();
    proof.counts = std::to_string(report->entries) + " entries, " + std::to_string(report->signatures) +
                   " signatures, " + std::to_string(report->proofs) + " tree proofs, " +
                   std::to_string(report->photos) + " photos";
    if (report->photos_missing > 0)
        proof.counts +=
            ", " + std::to_string(report->photos_missing) + " photos were not at hand when it was made";
    if (report->set_aside > 0)
        proof.counts +=
            ", " + std::to_string(report->set_aside) + " entries do not count by the enrolment list";
    proof.first_break = report->first_break;
    proof.last_break  = report->last_break;
    proof.breaks      = report->breaks;
    proof.facts       = {{"entries", report->entries},
                         {"signatures", report->signatures},
                         {"proofs", report->proofs},
                         {"photos", report->photos},
                         {"photos_missing", report->photos_missing},
                         {"statements", report->statements},
                         {"set_aside", report->set_aside},
                         {"jobs", report->jobs},
                         {"serial", report->serial},
                         {"plant", report->plant},
                         {"maker", report->maker},
                         {"enrolled", report->enrolled},
                         {"people", report->people},
                         {"complete", json_of(report->completeness)},
                         {"breaks", report->breaks}};
    const engine::PlantStanding plant{report->plant, report->mark, report->enrolled};
    put_plant(proof.facts, plant);
    proof.said = engine::notices_of(plant);
    proof.said.insert(proof.said.begin(), engine::title_of(plant));
    for (const auto& job : report->completeness)
        proof.said.push_back(job.sentence);
    return proof;
}

struct CheckOptions {
    std::string book;
    std::string shared;
    std::string pack;
    std::string state; ///< file; empty: the user's own place for it
    bool        json = false, progress = false, resume = false;
};

void print(const Proof& proof, bool as_json)
{
    if (as_json) {
        nlohmann::json document = proof.facts;
        document["what"]        = proof.what;
        document["whole"]       = proof.whole;
        document["first_break"] = proof.first_break;
        document["last_break"]  = proof.last_break;
        std::cout << document.dump(2) << '\n';
        return;
    }
    if (proof.whole)
        std::cout << proof.what << ": whole (" << proof.counts << " proved)\n";
    else
        std::cout << proof.what << ": NOT whole (" << proof.counts
                  << " proved); first break: " << proof.first_break << '\n';
    if (proof.breaks > 1)
        std::cout << "  " << proof.breaks << " breaks; last one: " << proof.last_break << '\n';
    for (const std::string& sentence : proof.said)
        std::cout << "  " << sentence << '\n';
}

engine::Result<Proof> prove(const CheckOptions& options)
{
    const bool show = options.progress || ::isatty(STDERR_FILENO) == 1;
    if (!options.pack.empty()) {
        const StopOnCtrlC stop;
        return prove_pack(options.pack, show);
    }
    const std::string           what = options.book.empty() ? options.shared : options.book;
    const std::filesystem::path file =
        options.state.empty() ? check_state_file(what) : std::filesystem::path(options.state);
    CheckState state = options.resume ? load_check_state(file) : CheckState{};
    auto       proof = [&] {
        const StopOnCtrlC stop;
        return options.book.empty() ? prove_shared(options.shared, show, state)
                                          : prove_book(options.book, show, state);
    }();
    // Kept when it was stopped, or asked for: a check that ran through owes nobody a file.
    if (stop_asked() || options.resume || !options.state.empty())
        if (const auto saved = save_check_state(file, state); !saved)
            std::cerr << saved.error().message << '\n';
    return proof;
}

/// 0 whole, 1 not whole, 2 it cannot even be looked at.
int conclude(const engine::Result<Proof>& proof, bool as_json)
{
    if (!proof) return complain(proof.error());
    print(*proof, as_json);
    return proof->whole ? 0 : 1;
}

} // namespace

void add_check(CLI::App& app, Outcome& outcome)
{
    const auto options = std::make_shared<CheckOptions>();
    CLI::App*  command =
        app.add_subcommand("check", "Proves integrity: chains, signatures, photos; names the first break.");
    CLI::Option_group* what = command->add_option_group("what", "what is to be proved");
    what->add_option("--book", options->book, "the book of a machine");
    what->add_option("--shared", options->shared, "the folder the machines share");
    what->add_option("--pack", options->pack, "a pack made by `witnessmark pack`");
    what->require_option(1);
    command->add_flag("--json", options->json, "one JSON document instead of a sentence");
    command->add_flag("--progress", options->progress, "say how far it is, also where no terminal is seen");
    command->add_flag(
        "--resume", options->resume,
        "go on after a check that was stopped with Ctrl-C: what has the same bytes is not verified again");
    command
        ->add_option("--state", options->state,
                     "where how far it came is kept (default: the user's state folder)")
        ->type_name("FILE");
    command->callback([options, &outcome] { outcome.exit_code = conclude(prove(*options), options->json); });
}

} // namespace field::cli
