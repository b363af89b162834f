// The planner's files through the command line into a real book.
#include "engine/base/files.h"
#include "engine/book/book.h"
#include "engine/book/seal.h"
#include "engine/catalogue/columns.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <string>
#include <vector>

#include "tests/field/cli/said.h"
#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"

namespace {

using support::run;
using support::Said;

std::string demo(const std::string& name)
{
    return (engine::assets_folder() / "demo" / (name + ".csv")).string();
}

std::string written(const support::TempFolder& folder, const std::string& name, const std::string& text)
{
    std::ofstream(folder / name) << text;
    return (folder / name).string();
}

engine::Catalogue plant_of(const std::string& book)
{
    const support::FakeClock clock;
    const auto               opened = engine::Book::open(book, clock, {}, false);
    REQUIRE(opened);
    return opened->catalogue();
}

std::size_t size_of(const std::string& book)
{
    const support::FakeClock clock;
    const auto               opened = engine::Book::open(book, clock, {}, false);
    REQUIRE(opened);
    return opened->size();
}

constexpr const char* kPeople = "badge,role,pin\n112,fitter,1120\n401,planner,4010\n";

} // namespace

TEST_SUITE("field/cli/imports")
{
    TEST_CASE("the demo files go into a book and come back the same")
    {
        support::TempFolder folder;
        const std::string   book = (folder / "demo.book").string();
        for (const char* what : {"units", "people", "instruments", "jobs"}) {
            CAPTURE(what);
            const Said said = run({what, "import", demo(what), "--book", book, "--actor", "401"});
            CHECK(said.err == "");
            CHECK(said.code == 0);
            CHECK(said.out.find(" taken into the book, 0 known already.") != std::string::npos);
        }
        const auto plant = plant_of(book);
        CHECK(plant.units.size() == 6);
        CHECK(plant.people.size() == 5);
        CHECK(plant.jobs.size() == 6);
        CHECK(plant.instruments.count("F-02") == 1);
        // As entries keep it: 24 threads an inch in whole nanometres.
        CHECK(plant.unit("SLW-F115-24")->pitch.value == doctest::Approx(25.4 / 24).epsilon(1e-6));
        CHECK(engine::pin_fits("2050", plant.person("205")->pin_check));
        CHECK_FALSE(engine::pin_fits("2051", plant.person("205")->pin_check));

        const std::size_t before = size_of(book);
        for (const char* what : {"units", "instruments", "jobs"}) {
            const Said again = run({what, "import", demo(what), "--book", book, "--actor", "401"});
            CHECK(again.code == 0);
            CHECK(again.out.find(std::string(what) + ": 0 taken") == 0);
        }
        CHECK(size_of(book) == before);
    }

    TEST_CASE("a refused file tells every fault on its own line, takes nothing and makes no book")
    {
        support::TempFolder folder;
        const std::string   book = (folder / "none.book").string();
        const std::string   bad =
            written(folder, "people.csv", "badge,role,pin\n112,boss,1120\n112,fitter,x\n");
        const Said said = run({"people", "import", bad, "--book", book});
        CHECK(said.code == 2);
        CHECK(said.out == "");
        CHECK(
            said.err ==
            "people.csv:2, column role: 'boss' cannot be read; give fitter, supervisor, auditor or planner.\n"
            "people.csv:3, column pin cannot be a PIN; give 4 to 12 digits, or nothing.\n"
            "people.csv:3, column badge: '112' stands on line 2 already; give each badge once.\n"
            "witnessmark: nothing was taken from people.csv; mend the 3 places above and import it again.\n");
        CHECK_FALSE(std::filesystem::exists(book));
    }

    TEST_CASE("a refused file leaves a book as it was, and JSON names every place")
    {
        support::TempFolder folder;
        const std::string   book = (folder / "t.book").string();
        REQUIRE(run({"units", "import", demo("units"), "--book", book}).code == 0);
        const std::size_t before = size_of(book);
        const std::string bad    = written(folder, "i.csv",
                                           "tag,tool,unit,low,high,resolution,error_limit,calibration_due\n"
                                              "M-1,micrometer,mm,25mm,50mm,1um,4um,2027-01-01\n"
                                              "M-2,micrometer,mm,25,50mm,1um,4um,2027-01-01\n");
        const Said        said   = run({"instruments", "import", bad, "--book", book, "--json"});
        CHECK(said.code == 2);
        const auto told = nlohmann::json::parse(said.out);
        CHECK(told.at("taken") == 0);
        REQUIRE(told.at("faults").size() == 1);
        CHECK(told.at("faults").at(0).at("line") == 3);
        CHECK(told.at("faults").at(0).at("column") == "low");
        CHECK(told.at("faults").at(0).at("value") == "25");
        CHECK(size_of(book) == before);
    }

    TEST_CASE("jobs need a book that knows their units")
    {
        support::TempFolder folder;
        const std::string   book = (folder / "t.book").string();
        const Said          none = run({"jobs", "import", demo("jobs"), "--book", book});
        CHECK(none.code == 2);
        CHECK_FALSE(std::filesystem::exists(book));
        REQUIRE(run({"people", "import", demo("people"), "--book", book}).code == 0);
        const Said unknown = run({"jobs", "import", demo("jobs"), "--book", book, "--actor", "401"});
        CHECK(unknown.code == 2);
        CHECK(unknown.err.find("jobs.csv:3, column unit: 'SLW-P50-12' is not in the catalogue") == 0);
        CHECK(plant_of(book).jobs.empty());
    }

    TEST_CASE("--columns says every column, in words and in JSON, and --template is a file to fill in")
    {
        for (const engine::PlannerFile file : engine::kPlannerFiles) {
            const std::string what(engine::name_of(file));
            CAPTURE(what);
            const Said said = run({what, "import", "--columns"});
            CHECK(said.code == 0);
            CHECK(said.err == "");
            const Said asked = run({what, "import", "--columns", "--json"});
            const auto told  = nlohmann::json::parse(asked.out);
            REQUIRE(told.at("columns").size() == engine::columns_of(file).size());
            std::size_t i = 0;
            for (const engine::PlannerColumn& column : engine::columns_of(file)) {
                CAPTURE(column.name);
                CHECK(said.out.find("\n" + std::string(column.name) + " (needed") != std::string::npos);
                CHECK(said.out.find(column.about) != std::string::npos);
                CHECK(said.out.find(column.example) != std::string::npos);
                const auto& one = told.at("columns").at(i++);
                CHECK(one.at("name") == column.name);
                CHECK(one.at("needed") == column.must);
                CHECK(one.at("example") == column.example);
                CHECK(one.at("about") == column.about);
                CHECK(one.contains("units") == !column.units.empty());
                CHECK(one.contains("choices") == !column.choices.empty());
            }
            CHECK(run({what, "import", "--template"}).out == engine::template_text(file));
        }
        const Said bare = run({"units", "import", "--book", "x.book"});
        CHECK(bare.code == 2);
        CHECK(bare.err ==
              "witnessmark: Give the file and --book FILE; `units import --columns` says what the "
              "file must hold.\n");
    }

    TEST_CASE("only a known planner imports in a name")
    {
        support::TempFolder folder;
        const std::string   book   = (folder / "t.book").string();
        const std::string   people = written(folder, "people.csv", kPeople);
        CHECK(run({"people", "import", people, "--book", book, "--actor", "401"}).code == 0);
        const Said fitter = run({"units", "import", demo("units"), "--book", book, "--actor", "112"});
        CHECK(fitter.code == 2);
        CHECK(fitter.err == "witnessmark: Badge 112 is a fitter; a planner imports units.\n");
        const Said nobody = run({"units", "import", demo("units"), "--book", book, "--actor", "999"});
        CHECK(nobody.code == 2);
        CHECK(nobody.err.find("witnessmark: There is no badge 999 in the book") == 0);
        CHECK(plant_of(book).units.empty());
        CHECK(run({"units", "import", demo("units"), "--book", book, "--actor", "401"}).code == 0);
        CHECK(plant_of(book).units.size() == 6);
    }

    TEST_CASE("a person keeps the PIN when the file comes without one")
    {
        support::TempFolder folder;
        const std::string   book = (folder / "t.book").string();
        REQUIRE(run({"people", "import", written(folder, "a.csv", kPeople), "--book", book}).code == 0);
        const std::string later = written(folder, "b.csv", "badge,role\n112,supervisor\n401,planner\n");
        const Said        said  = run({"people", "import", later, "--book", book, "--actor", "401"});
        CHECK(said.out == "people: 1 taken into the book, 1 known already.\n");
        const auto plant = plant_of(book);
        CHECK(plant.person("112")->role == engine::Role::supervisor);
        CHECK(engine::pin_fits("1120", plant.person("112")->pin_check));
    }

    TEST_CASE("a wrong use is exit 2 with a sentence")
    {
        support::TempFolder folder;
        const std::string   book = (folder / "t.book").string();
        CHECK(run({"units", "import", (folder / "none.csv").string(), "--book", book}).code == 2);
        CHECK(run({"units", "import", demo("units")}).code == 2);
        CHECK(run({"units"}).code == 2);
        const Said broken =
            run({"units", "import", written(folder, "q.csv", "code\n\"open\n"), "--book", book});
        CHECK(broken.code == 2);
        CHECK(broken.err.find("q.csv:2") != std::string::npos);
    }
}
