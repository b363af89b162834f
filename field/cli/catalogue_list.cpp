#include "field/cli/catalogue_list.h"

#include "engine/book/book.h"
#include "engine/book/catalogue_codec.h"
#include "engine/catalogue/export.h"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>

namespace field::cli {
namespace {

using engine::failure;
using engine::Fault;
using engine::PlannerFile;

struct ListWish {
    PlannerFile file = PlannerFile::units;
    std::string book, out;
    bool        as_json = false;
};

/// Listing and export change nothing, so the book may be open in another program.
engine::Result<engine::Book> to_read(const std::string& file, const engine::Clock& clock)
{
    engine::BookOptions options;
    options.read_only = true;
    return engine::Book::open(file, clock, options, false);
}

std::string line_of(const engine::UnitSheet& unit)
{
    const auto cells = engine::cells_of(unit);
    const auto at    = [&cells](std::string_view name) {
        const auto columns = engine::columns_of(PlannerFile::units);
        return cells.at(static_cast<std::size_t>(engine::find_column(columns, name) - columns.data()));
    };
    std::string line = unit.code + "  " + unit.revision + "  " + at("mount") + "  shaft " + at("shaft") +
                       "  turn " + at("turn_min") + " to " + at("turn_max") + "  " + at("bolts") + " x " +
                       at("bolt_size") + " " + at("bolt_class") + " at " + at("bolt_torque");
    if (unit.float_total) line += "  float " + at("float_total");
    return line;
}

std::string line_of(const engine::Person& person)
{
    return person.badge + "  " + std::string(engine::name_of(person.role)) +
           (person.pin_check.empty() ? "  no PIN" : "  PIN set");
}

std::string line_of(const engine::Instrument& instrument)
{
    const auto cells = engine::cells_of(instrument);
    return cells[0] + "  " + cells[1] + "  " + cells[3] + " to " + cells[4] + "  step " + cells[5] +
           "  error " + cells[6] + "  calibrated until " + cells[7] +
           (instrument.retired.empty() ? "" : "  retired: " + instrument.retired);
}

std::string line_of(const engine::Job& job)
{
    std::string line = job.number + "  " + job.title + "  " + job.asset + "  due " + job.due;
    for (const engine::Position& position : job.positions) {
        const auto cells = engine::cells_of(job, position);
        line += "  " + position.letter + " " + position.unit_code + " " + cells[12];
        if (!position.serial.empty()) line += " " + position.serial;
    }
    return line;
}

/// The body an entry holds (engine/book/FORMAT.md section 5), but for the check of a PIN.
template <class T> nlohmann::json body_of(const T& item)
{
    const engine::Draft draft = engine::draft_of(item, "");
    nlohmann::json      body  = *draft.body;
    if (!draft.job.empty()) body["job"] = draft.job;
    return body;
}

nlohmann::json body_of(const engine::Person& person)
{
    nlohmann::json body = *engine::draft_of(person, "").body;
    body.erase("pin_check");
    body["pin_set"] = !person.pin_check.empty();
    return body;
}

template <class Items> void print(const ListWish& wish, const Items& items)
{
    const std::string kind(engine::name_of(wish.file));
    if (wish.as_json) {
        nlohmann::json list = nlohmann::json::array();
        for (const auto& [key, item] : items)
            list.push_back(body_of(item));
        std::cout << nlohmann::json{{"kind", kind}, {"items", std::move(list)}}.dump(2) << '\n';
        return;
    }
    for (const auto& [key, item] : items)
        std::cout << line_of(item) << '\n';
    if (items.empty()) std::cout << "There are no " << kind << " in the book.\n";
}

/// Jobs, those said which are not gone on with.
void print_jobs(const ListWish& wish, const engine::Book& book)
{
    const engine::Catalogue&             plant = book.catalogue();
    std::map<std::string, engine::Entry> ended;
    for (const engine::Entry& entry : book.entries_of_kind(engine::kind::job_end))
        if (engine::may_end_jobs(plant, entry.said.actor)) ended.emplace(entry.said.job, entry);
    const auto reason = [](const engine::Entry& entry) { return entry.body().value("reason", ""); };
    if (wish.as_json) {
        nlohmann::json list = nlohmann::json::array();
        for (const auto& [number, job] : plant.jobs) {
            list.push_back(body_of(job));
            if (const auto end = ended.find(number); end != ended.end())
                list.back()["ended"] = {{"by", end->second.said.actor}, {"reason", reason(end->second)}};
        }
        std::cout << nlohmann::json{{"kind", "jobs"}, {"items", std::move(list)}}.dump(2) << '\n';
        return;
    }
    for (const auto& [number, job] : plant.jobs) {
        std::cout << line_of(job);
        if (const auto end = ended.find(number); end != ended.end())
            std::cout << "  ended by " << end->second.said.actor << ": " << reason(end->second);
        std::cout << '\n';
    }
    if (plant.jobs.empty()) std::cout << "There are no jobs in the book.\n";
}

int list(const ListWish& wish)
{
    const auto clock = engine::system_clock();
    const auto book  = to_read(wish.book, *clock);
    if (!book) return complain(book.error());
    const engine::Catalogue& plant = book->catalogue();
    switch (wish.file) {
    case PlannerFile::units:
        print(wish, plant.units);
        break;
    case PlannerFile::people:
        print(wish, plant.people);
        break;
    case PlannerFile::instruments:
        print(wish, plant.instruments);
        break;
    case PlannerFile::jobs:
        print_jobs(wish, *book);
        break;
    }
    return 0;
}

int write_file(const ListWish& wish)
{
    const auto clock = engine::system_clock();
    const auto book  = to_read(wish.book, *clock);
    if (!book) return complain(book.error());
    // A planner's own file is never written over.
    if (std::filesystem::exists(wish.out))
        return complain(
            failure(Fault::bad_input, "'" + wish.out + "' is there already; give another name.").error);
    std::ofstream out(wish.out, std::ios::binary);
    out << engine::csv_of(wish.file, book->catalogue());
    out.close();
    if (!out)
        return complain(
            failure(Fault::io, "'" + wish.out + "' could not be written; check the folder.").error);
    std::cout << engine::name_of(wish.file) << " of the book are in " << wish.out << ".\n";
    return 0;
}

} // namespace

void add_catalogue_list(CLI::App& group, PlannerFile file, Outcome& outcome)
{
    const auto wish = std::make_shared<ListWish>();
    wish->file      = file;
    const std::string kind(engine::name_of(file));
    CLI::App*         shown = group.add_subcommand("list", "Prints the " + kind + " the book holds");
    shown->add_option("--book", wish->book, "the book")->required();
    shown->add_flag("--json", wish->as_json, "one JSON document: the bodies of FORMAT.md section 5");
    shown->callback([wish, &outcome] { outcome.exit_code = list(*wish); });
    CLI::App* written =
        group.add_subcommand("export", "Writes them as a CSV file that import takes back (no PINs)");
    written->add_option("--book", wish->book, "the book")->required();
    written->add_option("--out", wish->out, "the file to write; it must not be there yet")->required();
    written->callback([wish, &outcome] { outcome.exit_code = write_file(*wish); });
}

} // namespace field::cli
