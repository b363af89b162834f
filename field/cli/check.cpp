// witnessmark check: proves what was recorded. One `prove_...` function for each thing that can be proved;
// each hands back a Proof, and the command prints them all alike.
#include "engine/book/book.h"
#include "field/cli/check_state.h"
#include "field/cli/commands.h"
#include "sync/check_shared.h"
#include "sync/disk_folder.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <functional>
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
    std::string    last_break;  ///< the other end of the extent
    std::size_t    breaks = 0;
    nlohmann::json facts; ///< keys of --json
};

/// Set by Ctrl-C: the check ends at the next entry and says how far it came.
volatile std::sig_atomic_t stop_asked = 0;

void ask_to_stop(int)
{
    stop_asked = 1;
}

/// "12345 of 200000 entries" on one line of the terminal, a few times a second.
class Progress {
  public:
    Progress(bool shown, const char* of_what) : shown_(shown), of_what_(of_what) {}
    Progress(const Progress&)            = delete;
    Progress& operator=(const Progress&) = delete;
    ~Progress()
    {
        if (shown_ && told_) std::cerr << "\r\033[K" << std::flush;
    }
    bool operator()(std::size_t done, std::size_t all)
    {
        const auto now = std::chrono::steady_clock::now();
        done_ = done, all_ = all;
        if (shown_ && (!told_ || now - last_ > std::chrono::milliseconds(200))) {
            std::cerr << '\r' << done << " of " << all << ' ' << of_what_ << std::flush;
            last_ = now;
            told_ = true;
        }
        return stop_asked == 0;
    }
    [[nodiscard]] engine::Failure stopped() const
    {
        return engine::failure(engine::Fault::refused,
                               "The check was stopped at " + std::to_string(done_) + " of " +
                                   std::to_string(all_) + " " + of_what_ +
                                   ": nothing is proved and nothing was changed. Go on with "
                                   "--resume.");
    }

  private:
    bool                                  shown_, told_ = false;
    const char*                           of_what_;
    std::size_t                           done_ = 0, all_ = 0;
    std::chrono::steady_clock::time_point last_;
};

engine::Result<Proof> prove_book(const std::string& file, bool show, CheckState& state)
{
    const std::filesystem::path path(file);
    Progress                    progress(show, "entries");
    const auto                  report = engine::check_book(path, std::ref(progress), &state.book);
    if (!report && report.error().fault == engine::Fault::refused && stop_asked != 0)
        return progress.stopped();
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
    if (!report->ended) return progress.stopped();
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

struct Options {
    std::string book;
    std::string shared;
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
}

engine::Result<Proof> prove(const Options& options)
{
    const std::string           what = options.book.empty() ? options.shared : options.book;
    const std::filesystem::path file =
        options.state.empty() ? check_state_file(what) : std::filesystem::path(options.state);
    CheckState state  = options.resume ? load_check_state(file) : CheckState{};
    const bool show   = options.progress || ::isatty(STDERR_FILENO) == 1;
    stop_asked        = 0;
    const auto before = std::signal(SIGINT, ask_to_stop);
    auto       proof  = options.book.empty() ? prove_shared(options.shared, show, state)
                                             : prove_book(options.book, show, state);
    (void)std::signal(SIGINT, before);
    // Kept when it was stopped, or asked for: a check that ran through owes nobody a file.
    if (stop_asked != 0 || options.resume || !options.state.empty())
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
    const auto options = std::make_shared<Options>();
    CLI::App*  command =
        app.add_subcommand("check", "Proves integrity: chains, signatures, photos; names the first break.");
    CLI::Option_group* what = command->add_option_group("what", "what is to be proved");
    what->add_option("--book", options->book, "the book of a machine");
    what->add_option("--shared", options->shared, "the folder the machines share");
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
