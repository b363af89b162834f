// witnessmark demo: a new book with the invented plant, its open jobs and a history of shifts with a few
// planted faults.
#include "engine/base/files.h"
#include "engine/book/catalogue_codec.h"
#include "field/cli/commands.h"
#include "field/cli/demo_plant.h"
#include "field/cli/demo_player.h"
#include "field/cli/plant_notice.h"
#include "sync/disk_folder.h"
#include "sync/exchange.h"

#include <CLI/CLI.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <iostream>
#include <memory>

namespace field::cli {
namespace {

using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;

struct DemoOptions {
    std::string   book, shared;
    int           shifts = 3;
    std::uint32_t seed   = 1;
    bool          json = false, not_enrolled = false;
};

constexpr std::int64_t kDay_ms          = 86'400'000;
constexpr std::int64_t kShiftStart_ms   = 21'600'000; ///< six in the morning
constexpr int          kMostShifts      = 400;
constexpr int          kFirstNumber     = 1801; ///< history jobs count up from here
constexpr std::size_t  kStepsBeforeCall = 12;   ///< done on the job left half-way

/// Who works in a shift: badges of assets/demo/people.csv.
DemoPeople people_of(int shift)
{
    return {shift % 2 == 0 ? "112" : "118", "205", "2050"};
}

/// What is planted into the history, one after the other, over and over.
constexpr std::array kPlanted{DemoFault::Kind::none,           DemoFault::Kind::turn_over,
                              DemoFault::Kind::none,           DemoFault::Kind::back_off,
                              DemoFault::Kind::seat_undecided, DemoFault::Kind::none,
                              DemoFault::Kind::run_in_peak};

struct History {
    std::size_t jobs = 0, faults = 0;
};

class Storyteller {
  public:
    Storyteller(engine::Workbench& bench, DemoClock& clock, const DemoOptions& options,
                std::vector<engine::Job> templates)
        : bench_(&bench), clock_(&clock), options_(&options), dice_(options.seed),
          templates_(std::move(templates))
    {
    }

    Result<History> tell(std::int64_t first_day_ms)
    {
        for (int shift = 0; shift < options_->shifts; ++shift) {
            clock_->advance_to(first_day_ms + shift * kDay_ms + kShiftStart_ms);
            const bool last = shift + 1 == options_->shifts;
            if (const Status one = job(shift, !last); !one) return one.failure();
        }
        if (options_->shifts > 0)
            if (const Status open = leave_one_open(); !open) return open.failure();
        return history_;
    }

  private:
    /// One job of the past: a copy of one of the plant's jobs under an older number. That of the last shift
    /// still waits for its countersignature.
    Status job(int shift, bool countersign)
    {
        engine::Job job    = templates_[static_cast<std::size_t>(shift) % templates_.size()];
        job.number         = std::to_string(kFirstNumber + shift);
        const auto planned = as_demo_planner(bench_->book(), {engine::draft_of(job, kDemoPlanner)});
        if (!planned) return planned.failure();
        if (const auto opened = bench_->book().append_all(*planned); !opened) return opened.failure();
        DemoJob played;
        played.number      = job.number;
        played.people      = people_of(shift);
        played.countersign = countersign;
        const auto kind    = kPlanted[static_cast<std::size_t>(shift) % kPlanted.size()];
        if (kind != DemoFault::Kind::none) {
            played.faults.push_back({kind, job.positions.back().letter});
            ++history_.faults;
        }
        ++history_.jobs;
        return DemoPlayer(*bench_, *clock_, dice_).play(played);
    }

    Status leave_one_open()
    {
        DemoJob played;
        played.number     = templates_.front().number;
        played.people     = people_of(0);
        played.stop_after = kStepsBeforeCall;
        return DemoPlayer(*bench_, *clock_, dice_).play(played);
    }

    engine::Workbench*       bench_;
    DemoClock*               clock_;
    const DemoOptions*       options_;
    DemoDice                 dice_;
    std::vector<engine::Job> templates_;
    History                  history_;
};

int report(const DemoOptions& options, const engine::Book& book, const DemoPlant& plant,
           const History& history)
{
    const std::size_t photos = book.photo_hashes().size();
    if (options.json) {
        nlohmann::json document{{"book", options.book},      {"entries", book.size()},
                                {"photos", photos},          {"jobs_open", plant.jobs.size()},
                                {"jobs_done", history.jobs}, {"faults_planted", history.faults},
                                {"shifts", options.shifts}};
        put_plant(document, standing_of(book));
        std::cout << document.dump(2) << '\n';
        return 0;
    }
    print_plant(std::cout, standing_of(book));
    std::cout
        << "Demo book " << options.book << ": " << plant.jobs.size() << " open jobs, " << history.jobs
        << " jobs of history with " << history.faults << " planted faults, " << book.size() << " entries, "
        << photos << " photos. All of it is invented.\n"
        << "Fitters 112 and 118; supervisor 205, PIN 2050; auditor 301, PIN 3010; planner 401, PIN 4010.\n";
    if (!options.not_enrolled)
        std::cout << "Its plant key is in " << options.book << ".plant.key, passphrase: " << kDemoPassphrase
                  << '\n';
    return 0;
}

/// The history also lies in a shared folder, as if the tablet had been in reach of it.
engine::Status share_it(const DemoOptions& options, engine::Book& book, const engine::Clock& clock)
{
    std::error_code trouble;
    std::filesystem::create_directories(options.shared, trouble);
    auto folder = share::DiskFolder::open(options.shared);
    if (!folder) return folder.failure();
    if (const auto sent = share::exchange(book, *folder, clock); !sent) return sent.failure();
    return engine::Unit{};
}

int demo(const DemoOptions& options)
{
    if (std::filesystem::exists(options.book))
        return complain(
            {Fault::conflict,
             "'" + options.book + "' is there already; a demo starts a new book under another name.",
             {}});
    const auto procedure = engine::load_procedure(engine::assets_folder() / "procedure");
    if (!procedure) return complain(procedure.error());
    const engine::Instant now       = engine::system_clock()->now();
    const std::int64_t    local_ms  = now.wall_ms + std::int64_t{now.tz_min} * 60'000;
    const std::int64_t    midnight  = local_ms - local_ms % kDay_ms - std::int64_t{now.tz_min} * 60'000;
    const std::int64_t    first_day = midnight - (options.shifts + 1) * kDay_ms;
    DemoClock             clock({first_day, now.tz_min, 1000});

    engine::BookOptions book_options;
    book_options.machine_name = "T-03";
    book_options.mark         = {engine::new_plant_id(), true};
    auto book                 = engine::Book::open(options.book, clock, book_options, true);
    if (!book) return complain(book.error());
    if (!options.not_enrolled)
        if (const Status done = found_demo(*book, options.book + ".plant.key", clock); !done)
            return complain(done.error());
    const auto plant = found_plant(*book, engine::assets_folder() / "demo");
    if (!plant) return complain(plant.error());
    engine::Workbench bench(*book, *procedure, clock);
    const auto        history = Storyteller(bench, clock, options, plant->jobs).tell(first_day);
    if (!history) return complain(history.error());
    if (!options.shared.empty())
        if (const auto sent = share_it(options, *book, clock); !sent) return complain(sent.error());
    return report(options, *book, *plant, *history);
}

} // namespace

void add_demo(CLI::App& app, Outcome& outcome)
{
    auto  options = std::make_shared<DemoOptions>();
    auto* command = app.add_subcommand("demo", "Make a new book with the invented plant and its history");
    command->add_option("--book", options->book, "Book to make; it must not be there yet")->required();
    command->add_option("--shared", options->shared,
                        "Shared folder to exchange it with; made when it is not there");
    command->add_option("--shifts", options->shifts, "Shifts of history")->check(CLI::Range(0, kMostShifts));
    command->add_option("--seed", options->seed,
                        "Another seed makes another history; keys are random each time");
    command->add_flag("--not-enrolled", options->not_enrolled,
                      "Without a plant key, to try enrolling by hand (`enrol plant-key`)");
    command->add_flag("--json", options->json, "One JSON document on standard output");
    command->footer("Exit code 0 made, 2 the book is there already or cannot be made.\n"
                    "--json: {book,entries,photos,jobs_open,jobs_done,faults_planted,shifts,\n"
                    "  plant,plant_id,plant_enrolled,plant_invented,plant_notices}");
    command->callback([options, &outcome] { outcome.exit_code = demo(*options); });
}

} // namespace field::cli
