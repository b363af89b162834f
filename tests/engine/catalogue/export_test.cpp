// What import took comes out again as import takes it, and no spreadsheet runs it.
#include "engine/base/files.h"
#include "engine/catalogue/export.h"
#include "engine/catalogue/import.h"

#include <doctest/doctest.h>

using namespace engine;

namespace {

const PinSeal kNoPin = [](std::string_view) -> Result<std::string> { return std::string(); };

CsvTable demo_file(PlannerFile file)
{
    const auto table = read_csv(assets_folder() / "demo" / (std::string(name_of(file)) + ".csv"));
    REQUIRE(table);
    return *table;
}

CsvTable exported(PlannerFile file, const Catalogue& known)
{
    const auto table = parse_csv(csv_of(file, known), "exported.csv");
    REQUIRE(table);
    return *table;
}

template <class Imported> auto items_of(const Imported& imported)
{
    for (const ImportFault& fault : imported.faults)
        FAIL_CHECK(sentence(fault));
    return imported.items;
}

Catalogue demo_catalogue()
{
    Catalogue known;
    for (const UnitSheet& unit : items_of(import_units(demo_file(PlannerFile::units))))
        known.units.emplace(unit.code, unit);
    for (const Person& person : items_of(import_people(demo_file(PlannerFile::people), kNoPin)))
        known.people.emplace(person.badge, person);
    for (const Instrument& instrument : items_of(import_instruments(demo_file(PlannerFile::instruments))))
        known.instruments.emplace(instrument.tag, instrument);
    for (const Job& job : items_of(import_jobs(demo_file(PlannerFile::jobs), known)))
        known.jobs.emplace(job.number, job);
    return known;
}

} // namespace

TEST_SUITE("engine/catalogue/export")
{
    TEST_CASE("the demo plant goes out and comes in again cell by cell")
    {
        const Catalogue known = demo_catalogue();
        const auto      units = items_of(import_units(exported(PlannerFile::units, known)));
        REQUIRE(units.size() == known.units.size());
        for (const UnitSheet& unit : units)
            CHECK(cells_of(unit) == cells_of(*known.unit(unit.code)));
        const auto instruments = items_of(import_instruments(exported(PlannerFile::instruments, known)));
        REQUIRE(instruments.size() == known.instruments.size());
        for (const Instrument& instrument : instruments)
            CHECK(cells_of(instrument) == cells_of(*known.instrument(instrument.tag)));
        const auto people = items_of(import_people(exported(PlannerFile::people, known), kNoPin));
        CHECK(people.size() == known.people.size());
        const auto jobs = items_of(import_jobs(exported(PlannerFile::jobs, known), known));
        REQUIRE(jobs.size() == known.jobs.size());
        for (const Job& job : jobs)
            for (const Position& position : job.positions)
                CHECK(cells_of(job, position) == cells_of(*known.job(job.number), position));
    }

    TEST_CASE("every row has a cell for every column, and values carry their units")
    {
        const Catalogue known = demo_catalogue();
        const auto&     unit  = *known.unit("SLW-F115-24");
        const auto      cells = cells_of(unit);
        REQUIRE(cells.size() == columns_of(PlannerFile::units).size());
        CHECK(cells[4] == "49.2125mm"); // 1-15/16 in, 25.4 mm to the inch (ISO 80000-3)
        CHECK(cells[8] == "1:24");
        CHECK(cells[9] == "1.058333mm"); // 24 threads an inch, as entries keep it
        CHECK(cells_of(known.people.begin()->second).size() == columns_of(PlannerFile::people).size());
        CHECK(cells_of(known.instruments.begin()->second).size() ==
              columns_of(PlannerFile::instruments).size());
        const Job& job = known.jobs.begin()->second;
        CHECK(cells_of(job, job.positions.front()).size() == columns_of(PlannerFile::jobs).size());
    }

    TEST_CASE("a torque wrench in pound-feet goes out and in with its own figures")
    {
        Catalogue known;
        known.instruments["W-09"] = {"W-09", Tool::torque_wrench, UnitOf::lbf_ft, 20, 150, 0.5,
                                     4.5,    "2027-03-31"};
        const auto back           = items_of(import_instruments(exported(PlannerFile::instruments, known)));
        REQUIRE(back.size() == 1);
        CHECK(back.front().unit == UnitOf::lbf_ft);
        CHECK(back.front().high == doctest::Approx(150).epsilon(1e-12));
        CHECK(cells_of(back.front()) == cells_of(known.instruments["W-09"]));
    }

    TEST_CASE("no PIN check and nothing a spreadsheet runs goes out")
    {
        Catalogue known     = demo_catalogue();
        known.people["999"] = {"999", Role::fitter, "$argon2id$secret"};
        CHECK(csv_of(PlannerFile::people, known).find("argon2") == std::string::npos);
        Job job    = known.jobs.begin()->second;
        job.number = "77";
        job.positions.resize(1);
        for (const char* title : {"=HYPERLINK(\"http://x\")", "+1+cmd", "-2+3", "@SUM(A1)", "'=1", "''-x",
                                  "-x", "- by hand", "fan 4, \"big\""}) {
            CAPTURE(title);
            job.title = title;
            known.jobs.clear();
            known.jobs.emplace(job.number, job);
            const std::string text  = csv_of(PlannerFile::jobs, known);
            const auto        table = parse_csv(text, "jobs.csv");
            REQUIRE(table);
            const std::string& cell = table->rows.front().cells.at(1);
            CHECK(std::string("=+-@").find(cell.front()) == std::string::npos);
            const auto back = items_of(import_jobs(*table, known));
            REQUIRE(back.size() == 1);
            CHECK(back.front().title == title);
        }
    }

    TEST_CASE("a plain negative number is no formula")
    {
        for (const char* cell : {"-8K", "-20C", "-0.5mm", "8K", "fan", "it's", "'quoted'", ""}) {
            CHECK(guarded(cell) == cell);
            CHECK(unguarded(cell) == cell);
        }
        CHECK(guarded("-2+3") == "'-2+3");
        CHECK(unguarded("'-2+3") == "-2+3");
        CHECK(guarded("-") == "'-");
    }
}
