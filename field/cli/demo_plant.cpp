#include "field/cli/demo_plant.h"

#include "engine/book/catalogue_codec.h"
#include "engine/book/seal.h"
#include "engine/catalogue/import.h"
#include "sync/founding.h"

namespace field::cli {
namespace {

using engine::failure;
using engine::Fault;
using engine::Result;
using engine::Status;

constexpr const char* kPlannerPin    = "4010"; ///< of assets/demo/people.csv, as the two below
constexpr const char* kSupervisor    = "205";
constexpr const char* kSupervisorPin = "2050";

template <class T, class Import> Result<std::vector<T>> read(const std::filesystem::path& file, Import import)
{
    const auto table = engine::read_csv(file);
    if (!table) return table.failure();
    engine::Imported<T> imported = import(*table);
    if (!imported.faults.empty()) return failure(Fault::bad_input, engine::sentence(imported.faults.front()));
    return std::move(imported.items);
}

template <class T> Status append(engine::Book& book, const std::vector<T>& items)
{
    std::vector<engine::Draft> drafts;
    drafts.reserve(items.size());
    for (const T& item : items)
        drafts.push_back(engine::draft_of(item, kDemoPlanner));
    const auto planned = as_demo_planner(book, std::move(drafts));
    if (!planned) return planned.failure();
    const auto kept = book.append_all(*planned);
    if (!kept) return kept.failure();
    return engine::Unit{};
}

} // namespace

Result<std::vector<engine::Draft>> as_demo_planner(const engine::Book&        book,
                                                   std::vector<engine::Draft> drafts)
{
    return book.signed_by_person(std::move(drafts), kPlannerPin);
}

Status found_demo(engine::Book& book, const std::filesystem::path& key_file, const engine::Clock& clock)
{
    const std::int64_t now = clock.now().wall_ms;
    const auto key = share::found(book, {key_file, kDemoPassphrase, true, kDemoPlanner, kPlannerPin}, now);
    if (!key) return key.failure();
    return share::enrol_person(book, *key, {kSupervisor, "supervisor", kSupervisorPin, ""}, now);
}

Result<DemoPlant> found_plant(engine::Book& book, const std::filesystem::path& folder)
{
    const auto people = read<engine::Person>(folder / "people.csv", [](const engine::CsvTable& table) {
        return engine::import_people(table, [](std::string_view pin) { return engine::pin_check_of(pin); });
    });
    if (!people) return people.failure();
    const auto instruments = read<engine::Instrument>(folder / "instruments.csv", engine::import_instruments);
    if (!instruments) return instruments.failure();
    const auto units = read<engine::UnitSheet>(folder / "units.csv", engine::import_units);
    if (!units) return units.failure();
    if (const Status done = append(book, *people); !done) return done.failure();
    if (const Status done = append(book, *instruments); !done) return done.failure();
    if (const Status done = append(book, *units); !done) return done.failure();
    auto jobs = read<engine::Job>(folder / "jobs.csv", [&book](const engine::CsvTable& table) {
        return engine::import_jobs(table, book.catalogue());
    });
    if (!jobs) return jobs.failure();
    if (const Status done = append(book, *jobs); !done) return done.failure();
    return DemoPlant{*std::move(jobs)};
}

} // namespace field::cli
