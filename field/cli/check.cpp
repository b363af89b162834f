// witnessmark check: proves what was recorded. One `prove_...` function for each thing that can be proved;
// each hands back a Proof, and the command prints them all alike.
#include "engine/book/book.h"
#include "field/cli/commands.h"
#include "sync/check_shared.h"
#include "sync/disk_folder.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <iostream>
#include <memory>
#include <string>

namespace field::cli {
namespace {

struct Proof {
    bool           whole = true;
    std::string    what;        ///< "book t.book"
    std::string    counts;      ///< "120 entries, 120 signatures, 14 photos"
    std::string    first_break; ///< empty when whole
    nlohmann::json facts;       ///< keys of --json
};

engine::Result<Proof> prove_book(const std::string& file)
{
    const std::filesystem::path path(file);
    const auto                  report = engine::check_book(path);
    if (!report) return report.failure();
    Proof proof;
    proof.whole  = report->whole;
    proof.what   = "book " + path.filename().string();
    proof.counts = std::to_string(report->entries) + " entries, " + std::to_string(report->signatures) +
                   " signatures, " + std::to_string(report->photos) + " photos";
    proof.first_break = report->first_break;
    proof.facts       = {{"entries", report->entries},
                         {"signatures", report->signatures},
                         {"photos", report->photos},
                         {"photos_missing", report->photos_missing}};
    return proof;
}

engine::Result<Proof> prove_shared(const std::string& place)
{
    const std::filesystem::path path(place);
    auto                        folder = share::DiskFolder::open(path);
    if (!folder) return folder.failure();
    const auto report = share::check_shared(*folder);
    if (!report) return report.failure();
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
    proof.first_break = report->first_break;
    proof.facts       = {{"entries", report->entries},
                         {"signatures", report->signatures},
                         {"photos", report->photos},
                         {"photos_missing", report->photos_missing},
                         {"segments", report->segments},
                         {"heads", report->heads},
                         {"foreign_names", report->foreign},
                         {"statements", report->statements},
                         {"witnesses", report->witnesses},
                         {"set_aside", report->set_aside},
                         {"breaks", report->breaks},
                         {"codes", std::move(codes)},
                         {"machines", machines}};
    return proof;
}

struct Options {
    std::string book;
    std::string shared;
    bool        json = false;
};

void print(const Proof& proof, bool as_json)
{
    if (as_json) {
        nlohmann::json document = proof.facts;
        document["what"]        = proof.what;
        document["whole"]       = proof.whole;
        document["first_break"] = proof.first_break;
        std::cout << document.dump(2) << '\n';
        return;
    }
    if (proof.whole)
        std::cout << proof.what << ": whole (" << proof.counts << " proved)\n";
    else
        std::cout << proof.what << ": NOT whole (" << proof.counts
                  << " proved); first break: " << proof.first_break << '\n';
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
    const auto options = std::make_shared<Options>();
    CLI::App*  command =
        app.add_subcommand("check", "Proves integrity: chains, signatures, photos; names the first break.");
    CLI::Option_group* what = command->add_option_group("what", "what is to be proved");
    what->add_option("--book", options->book, "the book of a machine");
    what->add_option("--shared", options->shared, "the folder the machines share");
    what->require_option(1);
    command->add_flag("--json", options->json, "one JSON document instead of a sentence");
    command->callback([options, &outcome] {
        outcome.exit_code =
            conclude(options->shared.empty() ? prove_book(options->book) : prove_shared(options->shared),
                     options->json);
    });
}

} // namespace field::cli
