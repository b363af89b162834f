// witnessmark pack: the record of a bearing, a machine or a job in a folder an auditor can prove alone.
#include "sync/pack.h"

#include "engine/evidence/trace_query.h"
#include "field/cli/commands.h"
#include "field/cli/opened.h"
#include "field/cli/progress.h"
#include "sync/disk_folder.h"

#include <CLI/CLI.hpp>

#include <filesystem>
#include <iostream>
#include <memory>
#include <system_error>

namespace field::cli {
namespace {

struct PackOptions {
    std::string book, out;
    std::string serial, asset, job;
    bool        progress = false;
};

engine::TraceKey key_of(const PackOptions& options)
{
    using By = engine::TraceKey::By;
    if (!options.serial.empty()) return {By::serial, options.serial};
    if (!options.asset.empty()) return {By::asset, options.asset};
    return {By::job, options.job};
}

engine::Result<share::PackMade> make(const PackOptions& options)
{
    const auto opened = Opened::existing(options.book);
    if (!opened) return opened.failure();
    const engine::TraceKey key  = key_of(options);
    const auto             line = engine::life_line((*opened)->bench(), key);
    if (!line) return line.failure();
    share::PackWish wish;
    wish.serial = options.serial;
    for (const engine::LifePart& part : line->parts)
        wish.jobs.push_back(part.job.number);
    std::error_code trouble;
    std::filesystem::create_directories(options.out, trouble);
    auto folder = share::DiskFolder::open(options.out);
    if (!folder) return folder.failure();
    Progress progress(options.progress, "photos");
    return share::make_pack((*opened)->bench().book(), wish, *folder, (*opened)->clock(), std::ref(progress));
}

int pack(const PackOptions& options)
{
    const StopOnCtrlC stop;
    const auto        made = make(options);
    if (!made) return complain(made.error());
    std::cout << "Pack " << options.out << ": " << made->entries << " entries, " << made->proofs
              << " proofs, " << made->photos << " photos";
    if (made->photos_missing > 0)
        std::cout << "; " << made->photos_missing << " photos are not on this machine, the pack says which";
    std::cout << ". Prove it with: witnessmark check --pack " << options.out << '\n';
    return 0;
}

} // namespace

void add_pack(CLI::App& app, Outcome& outcome)
{
    auto  options = std::make_shared<PackOptions>();
    auto* command =
        app.add_subcommand("pack", "The record of a bearing, a machine or a job in a folder of its own");
    command->add_option("--book", options->book, "Book to take it from")->required();
    auto* which = command->add_option_group("which", "What to pack, one of");
    which->add_option("--serial", options->serial, "Serial number of a unit");
    which->add_option("--asset", options->asset, "Tag of the machine");
    which->add_option("--job", options->job, "Number of the job");
    which->require_option(1);
    command->add_option("--out", options->out, "New folder")->required()->type_name("DIR");
    command->add_flag("--progress", options->progress, "Say how far it is, also where no terminal is seen");
    command->footer("Exit code 0 made, 2 bad use, nothing found, or stopped.");
    command->callback([options, &outcome] { outcome.exit_code = pack(*options); });
}

} // namespace field::cli
