// witnessmark exchange: one pass between a book and the shared folder.
#include "sync/exchange.h"

#include "field/cli/commands.h"
#include "sync/disk_folder.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <iostream>
#include <memory>
#include <string>

namespace field::cli {
namespace {

struct ExchangeOptions {
    std::string book, shared;
    bool        json = false;
};

std::string counted(std::size_t number, const char* one, const char* many)
{
    return std::to_string(number) + " " + (number == 1 ? one : many);
}

void print(const share::Report& report)
{
    if (report.begun) std::cout << "The folder was empty; a new exchange was begun in it.\n";
    std::cout << "Out: " << counted(report.entries_out, "entry", "entries") << ", "
              << counted(report.photos_out, "photo", "photos") << ".\n";
    std::cout << "In:  " << counted(report.entries_in, "entry", "entries") << ", "
              << counted(report.photos_in, "photo", "photos") << ".\n";
    for (const share::MachineNews& machine : report.machines)
        std::cout << "     " << (machine.name.empty() ? machine.dev.substr(0, 16) : machine.name) << ": "
                  << counted(machine.entries_in, "new entry", "new entries") << ", read up to entry "
                  << machine.last_seq << ".\n";
    for (const share::Finding& finding : report.findings)
        std::cout << share::state_name(finding.state) << (finding.code.empty() ? "" : " " + finding.code)
                  << ": " << finding.sentence << (finding.file.empty() ? "" : " [" + finding.file + "]")
                  << '\n';
    if (report.foreign > 0)
        std::cout << counted(report.foreign, "other thing lies", "other things lie")
                  << " in the folder; not touched (R13).\n";
}

nlohmann::json as_json(const share::Report& report)
{
    nlohmann::json findings = nlohmann::json::array();
    for (const share::Finding& f : report.findings)
        findings.push_back({{"state", share::state_name(f.state)},
                            {"code", f.code},
                            {"machine", f.machine},
                            {"file", f.file},
                            {"sentence", f.sentence},
                            {"first_time", f.first_time}});
    nlohmann::json machines = nlohmann::json::array();
    for (const share::MachineNews& m : report.machines)
        machines.push_back(
            {{"dev", m.dev}, {"name", m.name}, {"entries_in", m.entries_in}, {"read_up_to", m.last_seq}});
    return {{"entries_out", report.entries_out},
            {"entries_in", report.entries_in},
            {"segments_out", report.segments_out},
            {"segments_in", report.segments_in},
            {"photos_out", report.photos_out},
            {"photos_in", report.photos_in},
            {"photos_waiting", report.photos_waiting},
            {"bytes_out", report.bytes_out},
            {"bytes_in", report.bytes_in},
            {"foreign_names", report.foreign},
            {"begun", report.begun},
            {"machines", machines},
            {"findings", findings}};
}

/// 0 good, 1 something was set aside, 2 no exchange.
int run_exchange(const ExchangeOptions& options)
{
    auto folder = share::DiskFolder::open(options.shared);
    if (!folder) return complain(folder.error());
    const auto clock = engine::system_clock();
    auto       book  = engine::Book::open(options.book, *clock, {}, false);
    if (!book) return complain(book.error());
    const auto report = share::exchange(*book, *folder, *clock);
    if (!report) return complain(report.error());
    if (options.json)
        std::cout << as_json(*report).dump(2) << '\n';
    else
        print(*report);
    return report->set_aside() ? 1 : 0;
}

} // namespace

void add_exchange(CLI::App& app, Outcome& outcome)
{
    const auto options = std::make_shared<ExchangeOptions>();
    CLI::App*  command = app.add_subcommand("exchange", "One exchange of a book with the shared folder: what "
                                                         "went, what came, what was set aside and why.");
    command->add_option("--book", options->book, "the book of this machine")->required();
    command->add_option("--shared", options->shared, "the folder the machines share")->required();
    command->add_flag("--json", options->json, "one JSON document instead of sentences");
    command->callback([options, &outcome] { outcome.exit_code = run_exchange(*options); });
}

} // namespace field::cli
