// `units|people|instruments|jobs import FILE.csv --book B`: the planner's files into the book, all or
// nothing.
#include "engine/book/book.h"
#include "engine/book/catalogue_codec.h"
#include "engine/book/seal.h"
#include "engine/catalogue/import.h"
#include "field/app/plant_name.h"
#include "field/cli/catalogue_list.h"
#include "field/cli/commands.h"
#include "field/cli/import_warnings.h"
#include "field/cli/planner_acts.h"
#include "field/cli/planner_desk.h"
#include "field/cli/show_columns.h"

#include <nlohmann/json.hpp>

#include <iostream>
#include <memory>

namespace field::cli {
namespace {

using engine::failure;
using engine::Fault;
using nlohmann::json;

struct ImportWish {
    std::string what; ///< "units"
    std::string file, book, actor, pin_file;
    bool        as_json = false;
    bool        columns = false, form = false; ///< only say what a file must hold
};

engine::PlannerFile kind_of(const ImportWish& wish)
{
    for (const engine::PlannerFile file : engine::kPlannerFiles)
        if (engine::name_of(file) == wish.what) return file;
    return engine::PlannerFile::units;
}

/// What came of one file: its drafts, or its faults.
struct Read {
    std::vector<engine::Draft>       drafts;
    std::size_t                      unchanged = 0; ///< items the book holds just so
    std::vector<engine::ImportFault> faults;
    std::vector<ImportWarning>       warnings; ///< nothing that stands in the way
    std::vector<engine::UnitSheet>   sheets;
};

/// Same content in the book already: not written again.
template <class T> void add(Read& read, const T& item, const T* known, const std::string& actor)
{
    engine::Draft draft = engine::draft_of(item, actor);
    if (known != nullptr && *engine::draft_of(*known, actor).body == *draft.body)
        ++read.unchanged;
    else
        read.drafts.push_back(std::move(draft));
}

template <class T, class Known>
Read drafts_of(engine::Imported<T> taken, const std::string& actor, Known known)
{
    Read read;
    read.faults = std::move(taken.faults);
    for (const T& item : taken.items)
        add(read, item, known(item), actor);
    return read;
}

/// Nobody loses a PIN because a file came without one.
void keep_pins(std::vector<engine::Person>& people, const engine::Catalogue& plant)
{
    for (engine::Person& person : people)
        if (const auto* known = plant.person(person.badge); known != nullptr && person.pin_check.empty())
            person.pin_check = known->pin_check;
}

/// A retired instrument is not taken into use again by a file that still lists it.
void keep_retired(std::vector<engine::Instrument>& instruments, const engine::Catalogue& plant)
{
    for (engine::Instrument& instrument : instruments)
        if (const auto* known = plant.instrument(instrument.tag); known != nullptr)
            instrument.retired = known->retired;
}

Read read_table(const ImportWish& wish, const engine::CsvTable& table, const engine::Catalogue& plant,
                const engine::PinSeal& seal_pin)
{
    using namespace engine;
    if (wish.what == "units") {
        auto units          = import_units(table);
        auto [faults, told] = judge_sheets(table, units.items, plant);
        auto sheets         = units.items;
        if (!faults.empty()) units = {{}, std::move(faults)};
        Read read =
            drafts_of(std::move(units), wish.actor, [&](const UnitSheet& it) { return plant.unit(it.code); });
        read.warnings = std::move(told);
        read.sheets   = std::move(sheets);
        return read;
    }
    if (wish.what == "instruments") {
        auto instruments = import_instruments(table);
        keep_retired(instruments.items, plant);
        return drafts_of(std::move(instruments), wish.actor,
                         [&](const Instrument& it) { return plant.instrument(it.tag); });
    }
    if (wish.what == "jobs")
        return drafts_of(import_jobs(table, plant), wish.actor,
                         [&](const Job& it) { return plant.job(it.number); });
    auto people = import_people(table, seal_pin);
    keep_pins(people.items, plant);
    return drafts_of(std::move(people), wish.actor, [&](const Person& it) { return plant.person(it.badge); });
}

/// A job that was begun is what its opening said, whatever a later file says.
engine::Status job_stays(const engine::Book& book, const engine::Draft& draft)
{
    if (draft.kind != engine::kind::job_open || !book.has_begun(draft.job)) return engine::Unit{};
    const engine::Job* const job = book.catalogue().job(draft.job);
    return failure(
        Fault::refused,
        "Job " + draft.job + " was begun" +
            (job == nullptr ? std::string() : " as " + job->title + ", machine " + job->asset) +
            ", and stays so; nothing was taken from the file. Give the new work a number of its own.");
}

void refuse(const ImportWish& wish, const std::vector<engine::ImportFault>& faults)
{
    if (wish.as_json) {
        json list = json::array();
        for (const auto& fault : faults)
            list.push_back({{"file", fault.file},
                            {"line", fault.line},
                            {"column", fault.column},
                            {"value", fault.value},
                            {"wrong", fault.wrong},
                            {"wanted", fault.wanted},
                            {"sentence", sentence(fault)}});
        std::cout << json{{"kind", wish.what},
                          {"taken", 0},
                          {"faults", std::move(list)},
                          {"warnings", json::array()}}
                         .dump(2)
                  << '\n';
        return;
    }
    for (const auto& fault : faults)
        std::cerr << sentence(fault) << '\n';
    std::cerr << "witnessmark: nothing was taken from " << faults.front().file << "; mend "
              << (faults.size() == 1 ? "the line" : "the " + std::to_string(faults.size()) + " places")
              << " above and import it again.\n";
}

void report(const ImportWish& wish, const Read& read, const std::vector<TouchedJob>& touched)
{
    if (wish.as_json) {
        json told{{"kind", wish.what},       {"taken", read.drafts.size()}, {"unchanged", read.unchanged},
                  {"faults", json::array()}, {"warnings", json::array()},   {"open_jobs", json::array()}};
        for (const ImportWarning& warning : read.warnings)
            told["warnings"].push_back(document_of(warning));
        for (const TouchedJob& job : touched)
            told["open_jobs"].push_back(document_of(job));
        std::cout << told.dump(2) << '\n';
        return;
    }
    for (const ImportWarning& warning : read.warnings)
        std::cerr << "warning: " << sentence(warning) << '\n';
    std::cout << wish.what << ": " << read.drafts.size() << " taken into the book, " << read.unchanged
              << " known already.\n";
    for (const TouchedJob& job : touched)
        std::cout << job.sentence << '\n';
}

int import_file(const ImportWish& wish)
{
    const auto table = engine::read_csv(wish.file);
    if (!table) return complain(table.error());
    const auto refused = [&wish](const Read& read) {
        if (!read.faults.empty()) refuse(wish, read.faults);
        return !read.faults.empty();
    };
    // A refused file must not leave a new, empty book behind, so it is judged before one is made. Jobs need
    // the units of a book that is there.
    const bool make    = wish.what != "jobs" && !std::filesystem::exists(wish.book);
    const auto no_seal = [](std::string_view) -> engine::Result<std::string> { return std::string(); };
    if (make && refused(read_table(wish, *table, {}, no_seal))) return 2;

    const auto          clock = engine::system_clock();
    engine::BookOptions fresh;
    fresh.plant = app::kUnnamedPlant;
    auto book   = engine::Book::open(wish.book, *clock, fresh, make);
    if (!book) return complain(book.error());
    const PlannerWish planner{wish.what, wish.actor, wish.pin_file};
    if (const auto may = may_plan(*book, planner); !may) return complain(may.error());
    const Read read = read_table(wish, *table, book->catalogue(), engine::pin_check_of);
    if (refused(read)) return 2;
    for (const engine::Draft& draft : read.drafts)
        if (const auto stays = job_stays(*book, draft); !stays) return complain(stays.error());
    const auto planned = as_planned(*book, read.drafts, planner);
    if (!planned) return complain(planned.error());
    const auto touched = touched_jobs(*book, read.sheets);
    if (const auto kept = book->append_all(*planned); !kept) return complain(kept.error());
    report(wish, read, touched);
    return 0;
}

int import_or_explain(const ImportWish& wish)
{
    if (wish.columns) show_columns(kind_of(wish), wish.as_json);
    if (wish.form) show_template(kind_of(wish));
    if (wish.columns || wish.form) return 0;
    if (wish.file.empty() || wish.book.empty())
        return complain(failure(Fault::bad_input, "Give the file and --book FILE; `" + wish.what +
                                                      " import --columns` says what the file must hold.")
                            .error);
    return import_file(wish);
}

} // namespace

void add_imports(CLI::App& app, Outcome& outcome)
{
    for (const char* what : {"units", "people", "instruments", "jobs"}) {
        CLI::App* group = app.add_subcommand(what, std::string("The planner's ") + what);
        group->require_subcommand(1);
        const auto wish = std::make_shared<ImportWish>();
        wish->what      = what;
        add_catalogue_list(*group, kind_of(*wish), outcome);
        add_planner_acts(*group, kind_of(*wish), outcome);
        CLI::App* run = group->add_subcommand(
            "import", "Takes a CSV file into the book, all or nothing; every fault is told with line and "
                      "column, what is odd about a sheet is a warning");
        run->add_option("file", wish->file, "CSV file, its first row naming the columns");
        run->add_option("--book", wish->book, "the book; made when it is not there (not by jobs)");
        run->add_option("--actor", wish->actor, "badge of the planner; needed once the book knows one");
        run->add_option(
            "--pin-file", wish->pin_file,
            "file whose first line is the planner's PIN, asked of an enrolled plant; without it, it "
            "is asked for");
        run->add_flag("--json", wish->as_json, "one JSON document on standard output");
        run->add_flag("--columns", wish->columns, "only says every column of such a file");
        run->add_flag("--template", wish->form, "only prints a file to fill in");
        run->callback([wish, &outcome] { outcome.exit_code = import_or_explain(*wish); });
    }
}

} // namespace field::cli
