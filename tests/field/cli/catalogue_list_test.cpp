// The catalogue as the book holds it: listed, written out and taken in again; sheets judged on their way in.
#include "engine/base/files.h"
#include "engine/book/book.h"
#include "engine/procedure/plan.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <iterator>
#include <string>

#include "tests/field/cli/said.h"
#include "tests/support/fake_clock.h"
#include "tests/support/temp_folder.h"

namespace {

using nlohmann::json;
using support::run;
using support::Said;

struct Planner {
    support::TempFolder folder;
    std::string         book = (folder / "t.book").string();

    Planner()
    {
        for (const char* what : {"units", "people", "instruments", "jobs"})
            REQUIRE(run({what, "import", demo(what), "--book", book, "--actor", "401"}).code == 0);
    }
    static std::string demo(const std::string& what)
    {
        return (engine::assets_folder() / "demo" / (what + ".csv")).string();
    }
    /// The demo's sheets with one text in place of another.
    [[nodiscard]] std::string changed(const std::string& from, const std::string& to) const
    {
        std::ifstream     in(demo("units"));
        std::string       text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
        const std::size_t at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
        std::ofstream(folder / "units.csv") << text;
        return (folder / "units.csv").string();
    }
    [[nodiscard]] std::size_t size() const
    {
        const support::FakeClock clock;
        const auto               opened = engine::Book::open(book, clock, {}, false);
        REQUIRE(opened);
        return opened->size();
    }
};

std::string text_of(const std::string& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

constexpr const char* kFirst = "SLW-P50-12,R3,"; ///< mounted in the open job 2219 at A

} // namespace

TEST_SUITE("field/cli/catalogue list")
{
    TEST_CASE("what is in the book is listed, one line each, and as bodies in JSON")
    {
        const Planner planner;
        struct Row {
            const char* what;
            const char* line;
            std::size_t count;
        };
        for (const Row& row :
             {Row{"units", "SLW-P50-12  R3  pillow_block  shaft 50mm  turn 85deg to 105deg", 6},
              Row{"people", "205  supervisor  PIN set", 5},
              Row{"jobs", "2219  Lime dryer fan 4  LDF-04  due 2026-12-04  A SLW-P50-12 fixed", 6}}) {
            CAPTURE(row.what);
            const Said said = run({row.what, "list", "--book", planner.book});
            CHECK(said.code == 0);
            CHECK(said.err == "");
            CHECK_MESSAGE(said.out.find(row.line) != std::string::npos, said.out);
            const json told = json::parse(run({row.what, "list", "--book", planner.book, "--json"}).out);
            CHECK(told.at("kind") == row.what);
            CHECK(told.at("items").size() == row.count);
        }
        CHECK(run({"instruments", "list", "--book", planner.book}).out.find("F-02  feeler") !=
              std::string::npos);
        const json units =
            json::parse(run({"units", "list", "--book", planner.book, "--json"}).out).at("items");
        CHECK(units.at(0).contains("bolt_torque_mnm"));
        const std::string people = run({"people", "list", "--book", planner.book, "--json"}).out;
        CHECK(people.find("argon2") == std::string::npos);
        CHECK(json::parse(people).at("items").at(0).contains("pin_set"));
        CHECK(json::parse(run({"jobs", "list", "--book", planner.book, "--json"}).out)
                  .at("items")
                  .at(0)
                  .contains("job"));
    }

    TEST_CASE("what is exported is known already when it is imported, PINs stay, and no file is written over")
    {
        const Planner     planner;
        const std::size_t before = planner.size();
        for (const char* what : {"units", "people", "instruments", "jobs"}) {
            CAPTURE(what);
            const std::string file = (planner.folder / (std::string(what) + "-out.csv")).string();
            const Said        out  = run({what, "export", "--book", planner.book, "--out", file});
            CHECK(out.code == 0);
            CHECK(text_of(file).find("argon2") == std::string::npos);
            const Said back = run({what, "import", file, "--book", planner.book, "--actor", "401"});
            CHECK(back.code == 0);
            CHECK_MESSAGE(back.out.find(": 0 taken into the book, ") != std::string::npos,
                          back.out << back.err);
            const std::string kept  = text_of(file);
            const Said        again = run({what, "export", "--book", planner.book, "--out", file});
            CHECK(again.code == 2);
            CHECK(again.err.find("is there already") != std::string::npos);
            CHECK(text_of(file) == kept);
        }
        CHECK(planner.size() == before);
        CHECK(run({"units", "export", "--book", planner.book, "--out", "/no/such/place/u.csv"}).code == 2);
        CHECK(run({"units", "list", "--book", (planner.folder / "none").string()}).code == 2);
    }

    TEST_CASE("listing and export work while another program writes the book")
    {
        const Planner            planner;
        const support::FakeClock clock;
        const auto               writer = engine::Book::open(planner.book, clock, {}, false);
        REQUIRE(writer);
        CHECK(run({"units", "list", "--book", planner.book}).code == 0);
        CHECK(run({"jobs", "export", "--book", planner.book, "--out", (planner.folder / "j.csv").string()})
                  .code == 0);
    }
}

TEST_SUITE("field/cli/import of sheets")
{
    TEST_CASE("a doubtful torque is told with both numbers and the sheet is taken")
    {
        const Planner     planner;
        const std::string file =
            planner.changed("SLW-P50-12,R3,pillow_block,no,50mm,55mm,68mm,45mm,1:12,2mm,4,17,85deg,105deg,"
                            "h9,IT5/2,C3,0.075mm,0.095mm,0.035mm,0.065mm,,,2,M16,8.8,160Nm",
                            "SLW-P50-12,R4,pillow_block,no,50mm,55mm,68mm,45mm,1:12,2mm,4,17,85deg,105deg,"
                            "h9,IT5/2,C3,0.075mm,0.095mm,0.035mm,0.065mm,,,2,M16,8.8,240Nm");
        const Said told = run({"units", "import", file, "--book", planner.book, "--actor", "401"});
        CHECK(told.code == 0);
        CHECK(told.err ==
              "warning: units.csv:3, column bolt_torque: '240Nm' is 240.0 N.m; an oiled M16 8.8 bolt passes "
              "its proof load at 218.5 N.m (K 0.15).\n");
        CHECK(told.out.find("units: 1 taken into the book, 5 known already.\n") == 0);
        const Said again = run({"units", "import", file, "--book", planner.book, "--actor",
                                "401"}); // told once, when it comes in
        CHECK(again.err == "");
        const Planner other;
        const json    document =
            json::parse(run({"units", "import", file, "--book", other.book, "--json", "--actor", "401"}).out);
        REQUIRE(document.at("warnings").size() == 1);
        CHECK(document.at("warnings").at(0).at("sheet") == "240.0 N.m");
        CHECK(document.at("warnings").at(0).at("worked_out") == "218.5 N.m");
        CHECK(document.at("warnings").at(0).at("line") == 3);
        CHECK(document.at("taken") == 1);
    }

    TEST_CASE("a torque that breaks the bolt is refused at its place, and nothing is taken")
    {
        const Planner     planner;
        const std::size_t before = planner.size();
        const std::string file =
            planner.changed("M16,8.8,160Nm,,2deg,40g,90C,50K,clearance_before;clearance_after;"
                            "sleeve_travel\nSLW-E50-12,R3",
                            "M16,8.8,1600Nm,,2deg,40g,90C,50K,clearance_before;clearance_after;"
                            "sleeve_travel\nSLW-E50-12,R4");
        const Said told = run({"units", "import", file, "--book", planner.book, "--actor", "401"});
        CHECK(told.code == 2);
        CHECK(told.err.find(
                  "units.csv:3, column revision: 'R3' of SLW-P50-12 is in the book with bolt_torque 160Nm "
                  "where the file has 1600Nm; give") == 0);
        CHECK(told.err.find(
                  "units.csv:3, column bolt_torque: '1600Nm' is 1600.0 N.m and breaks an M16 8.8 bolt") !=
              std::string::npos);
        CHECK(planner.size() == before);
    }

    TEST_CASE("a changed sheet tells the open jobs it touches, and one whose papers are read keeps its own")
    {
        const Planner planner;
        const Said    told = run({"units", "import", planner.changed(kFirst, "SLW-P50-12,R4,"), "--book",
                                  planner.book, "--actor", "401"});
        CHECK(told.code == 0);
        CHECK_MESSAGE(told.out.find("Open job 2219, position A: goes by SLW-P50-12 R4 from now on.\n") !=
                          std::string::npos,
                      told.out << told.err);
        {
            const support::FakeClock clock;
            auto                     book = engine::Book::open(planner.book, clock, {}, false);
            REQUIRE(book);
            const engine::Draft papers{
                "112", "done", "2219", "", "papers", {}, std::make_shared<const json>(json::object())};
            REQUIRE(book->append(papers));
        }
        const std::string r5 = planner.changed(kFirst, "SLW-P50-12,R5,");
        const json        later =
            json::parse(run({"units", "import", r5, "--book", planner.book, "--json", "--actor", "401"}).out);
        bool found = false;
        for (const json& job : later.at("open_jobs"))
            if (job.at("job") == "2219") {
                found = true;
                CHECK(job.at("goes_by") == "R4");
                CHECK(job.at("revision") == "R5");
                CHECK(job.at("sentence") ==
                      "Open job 2219, position A: keeps SLW-P50-12 R4, with which its papers were read.");
            }
        CHECK(found);
    }

    TEST_CASE("an older revision is refused, one that cannot be put in order is told")
    {
        const Planner planner;
        const Said    older = run({"units", "import", planner.changed(kFirst, "SLW-P50-12,R2,"), "--book",
                                   planner.book, "--actor", "401"});
        CHECK(older.code == 2);
        CHECK(older.err.find(
                  "units.csv:3, column revision: 'R2' is older than R3 of SLW-P50-12 in the book; give") ==
              0);
        const Said unsure = run({"units", "import", planner.changed(kFirst, "SLW-P50-12,2026-11,"), "--book",
                                 planner.book, "--actor", "401"});
        CHECK(unsure.code == 0);
        CHECK(unsure.err.find(
                  "warning: units.csv:3, column revision: '2026-11' cannot be put in order with R3") == 0);
    }
}
