// Commands that only read, while another program has the book open; and a job that was begun.
#include "engine/book/book.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>

#include "tests/field/cli/said.h"
#include "tests/support/temp_folder.h"

namespace {

using support::run;

struct Shop {
    support::TempFolder folder;
    std::string         book = (folder.path() / "t.book").string();
    Shop() { REQUIRE(run({"demo", "--shifts", "1", "--book", book}).code == 0); }
};

} // namespace

TEST_SUITE("field/cli/beside")
{
    TEST_CASE(
        "while the book is open in another program every reading command answers, with what was last written")
    {
        const Shop shop;
        const auto clock  = engine::system_clock();
        auto       writer = engine::Book::open(shop.book, *clock, {}, false);
        REQUIRE(writer);
        const auto ask = [&](std::vector<std::string> words) {
            words.insert(words.end(), {"--book", shop.book});
            return run(words);
        };
        CHECK(ask({"review"}).code == 1); // something waits: an answer, not a refusal
        CHECK(ask({"review", "--json"}).code == 1);
        CHECK(ask({"trace", "--asset", "LDF-04"}).code == 0);
        CHECK(ask({"check"}).code == 0);
        CHECK(ask({"enrol", "show"}).code == 0);
        CHECK(ask({"pack", "--asset", "LDF-04", "--out", (shop.folder.path() / "pack").string()}).code == 0);
        CHECK(run({"check", "--pack", (shop.folder.path() / "pack").string()}).code == 0);
        // What the writer adds meanwhile is there for the next reader.
        const auto          before = nlohmann::json::parse(ask({"trace", "--job", "2219", "--json"}).out);
        const engine::Draft draft{"112",
                                  engine::kind::handover,
                                  "2219",
                                  "",
                                  "",
                                  {},
                                  std::make_shared<const nlohmann::json>(nlohmann::json{{"to", "118"}})};
        REQUIRE(writer->append(draft));
        const auto after = nlohmann::json::parse(ask({"trace", "--job", "2219", "--json"}).out);
        CHECK(after["entries"].get<int>() == before["entries"].get<int>() + 1);
        // Who writes is still refused, and the writer was never disturbed.
        const auto second = ask({"exchange", "--shared", shop.folder.path().string()});
        CHECK(second.code == 2);
        CHECK(second.err.find("another program") != std::string::npos);
        CHECK(writer->append(draft));
    }

    TEST_CASE("a job that was begun is not made another by a planner's file")
    {
        const Shop shop;
        const auto file = (shop.folder.path() / "jobs.csv").string();
        const auto take = [&](const std::string& row) {
            std::ofstream(file) << "job,title,asset,due,old_bearing_out,span,rise,alpha,speed,run_in,"
                                   "position,unit,role,serial\n"
                                << row;
            return run({"jobs", "import", file, "--book", shop.book, "--actor", "401"});
        };
        const std::string head = "1801,Another machine,XX-99,2026-12-04,no,1400mm,35K,11.5ppm/K,980rpm,4h,";
        const auto        refused = take(head + "A,SLW-P50-12,fixed,\n" + head + "B,SLW-E50-12,expansion,\n");
        CHECK(refused.code == 2);
        CHECK(refused.err.find("1801") != std::string::npos);
        CHECK(refused.err.find("a number of its own") != std::string::npos);
        const auto trace =
            nlohmann::json::parse(run({"trace", "--job", "1801", "--json", "--book", shop.book}).out);
        CHECK(trace["parts"][0]["asset"] != "XX-99");
    }
}
