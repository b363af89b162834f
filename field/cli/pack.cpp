// witnessmark pack: the record of a bearing, a machine or a job in a folder an auditor can prove alone.
#include "sync/pack.h"

#include "engine/evidence/trace_query.h"
#include "field/cli/commands.h"
#include "field/cli/opened.h"
#include "field/cli/plant_notice.h"
#include "field/cli/progress.h"
#include "field/cli/which.h"
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
    Which       which;
    bool        progress = false;
};

struct Packed {
    share::PackMade       made;
    engine::PlantStanding plant;
};

engine::Result<Packed> make(const PackOptions& options)
{
    const auto opened = Opened::reading(options.book);
    if (!opened) return opened.failure();
    const engine::TraceKey key  = options.which.key();
    const auto             line = engine::life_line((*opened)->bench(), key);
    if (!line) return line.failure();
    share::PackWish wish;
    wish.serial = options.which.serial;
    for (const engine::LifePart& part : line->parts)
        wish.jobs.push_back(part.job.number);
    std::error_code trouble;
    std::filesystem::create_directories(options.out, trouble);
    auto folder = share::DiskFolder::open(options.out);
    if (!folder) return folder.failure();
    Progress      progress(options.progress, "photos");
    engine::Book& book = (*opened)->bench().book();
    const auto    made = share::make_pack(book, wish, *folder, (*opened)->clock(), std::ref(progress));
    if (!made) return made.failure();
    return Packed{*made, engine::standing_of(book)};
}

int pack(const PackOptions& options)
{
    const StopOnCtrlC stop;
    const auto        packed = make(options);
    if (!packed) return complain(packed.error());
    print_plant(std::cout, packed->plant);
    const share::PackMade* const made = &packed->made;
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
    options->which.add_to(*command, "What to pack, one of");
    command->add_option("--out", options->out, "New folder")->required()->type_name("DIR");
    command->add_flag("--progress", options->progress, "Say how far it is, also where no terminal is seen");
    command->footer("Exit code 0 made, 2 bad use, nothing found, or stopped.");
    command->callback([options, &outcome] { outcome.exit_code = pack(*options); });
}

} // namespace field::cli
