// What the supervisor and the auditor read out of a book, by the program itself.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>

#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

using nlohmann::json;
using support::Ran;
using support::run;
using support::says;

/// The invented plant with two jobs of history: one countersigned, one with a turn too far that waits.
const support::TempFolder& plant()
{
    static const support::TempFolder folder;
    static const Ran                 made =
        run("demo --shifts 2 --book '" + (folder.path() / "book").string() + "'", folder.path());
    REQUIRE_MESSAGE(made.code == 0, made.says);
    return folder;
}

Ran ask(const std::string& command)
{
    return run(command + " --book '" + (plant().path() / "book").string() + "'", plant().path());
}

json document(const Ran& ran)
{
    json read = json::parse(ran.out, nullptr, false);
    REQUIRE_MESSAGE(!read.is_discarded(), ran.says);
    return read;
}

json job_of(const json& review, const std::string& job)
{
    for (const json& one : review["jobs"])
        if (one["job"] == job) return one;
    return {};
}

bool finds(const json& job, const std::string& finding)
{
    return std::any_of(job["exceptions"].begin(), job["exceptions"].end(),
                       [&](const json& one) { return one["finding"] == finding; });
}

} // namespace

TEST_SUITE("field/evidence")
{
    TEST_CASE("a shift with a deviation is answered with 1, and the job that needs a decision comes first")
    {
        const Ran  told   = ask("review --json");
        const json review = document(told);
        CHECK(told.code == 1);
        const json& first = review["jobs"].at(0);
        CHECK(first["job"] == "1802");
        CHECK(first["needs_decision"] == true);
        CHECK(finds(first, "outside"));
        CHECK(finds(first, "deviation"));
        CHECK(review["complaints"].empty());
    }

    TEST_CASE("an exception tells value, limits with their source, who, when and the photo")
    {
        const json review = document(ask("review --json"));
        const json first  = job_of(review, "1802")["exceptions"].at(0);
        CHECK(first["step"] == "turn");
        CHECK(first["pos"] == "B");
        CHECK(first["value_deg"].get<double>() > first["high_deg"].get<double>());
        CHECK(first["limit_source"].get<std::string>().find("rev R2") != std::string::npos);
        CHECK(first["by"] == "118");
        CHECK(first["photo_sha256"].get<std::string>().size() == 64);
        CHECK(first["at"].get<std::string>().size() == 25);
    }

    TEST_CASE("a countersigned job needs no decision and names who signed")
    {
        const json job = job_of(document(ask("review --json")), "1801");
        CHECK(job["needs_decision"] == false);
        CHECK(job["review"]["countersigned"] == true);
        CHECK(job["review"]["by"] == "205");
    }

    TEST_CASE("a time before everything has nothing to decide and is answered with 0")
    {
        const Ran before = ask("review --json --until 2001-01-01");
        CHECK(before.code == 0);
        CHECK(document(before)["jobs"].empty());
    }

    TEST_CASE("a moment that is none is refused with 2 and shows how to write one")
    {
        const Ran wrong = ask("review --since yesterday");
        CHECK(wrong.code == 2);
        CHECK(says(wrong, "write 2026-11-25"));
        CHECK(wrong.out.empty());
    }

    TEST_CASE("the life line of a job holds every entry in its order, with signatures and photos counted")
    {
        const Ran  told  = ask("trace --job 1801 --json");
        const json trace = document(told);
        CHECK(told.code == 0);
        CHECK(trace["whole"] == true);
        CHECK(trace["entries"] == trace["signatures"]);
        CHECK(trace["photos_missing"] == 0);
        const json& events = trace["parts"].at(0)["events"];
        CHECK(events.size() == trace["entries"].get<std::size_t>());
        CHECK(std::is_sorted(events.begin(), events.end(),
                             [](const json& a, const json& b) { return a["at_ms"] < b["at_ms"]; }));
    }

    TEST_CASE("a serial leads to the job that mounted it, and an asset to all its jobs")
    {
        const json  life = document(ask("trace --job 1801 --json"));
        std::string serial;
        for (const json& event : life["parts"].at(0)["events"])
            if (event["step"] == "slide_on" && event["what"] == "code serial") serial = event["text"];
        REQUIRE_FALSE(serial.empty());
        const Ran by_serial = ask("trace --serial " + serial + " --json");
        CHECK(by_serial.code == 0);
        CHECK(document(by_serial)["parts"].at(0)["job"] == "1801");
        const json by_asset = document(ask("trace --asset LDF-04 --json"));
        CHECK(by_asset["parts"].size() >= 2); // the finished job and the one in work
    }

    TEST_CASE("nothing found, nothing asked for, or no book is 2 with one sentence")
    {
        CHECK(ask("trace --serial NONE").code == 2);
        CHECK(says(ask("trace --serial NONE"), "Nothing in this book bears the serial number NONE."));
        CHECK(ask("trace").code == 2);
        const Ran no_book =
            run("trace --job 1801 --book '" + (plant().path() / "none").string() + "'", plant().path());
        CHECK(no_book.code == 2);
        CHECK(says(no_book, "There is no book none"));
    }

    TEST_CASE("a photo taken away breaks the trace: answered with 1, and the first break is named")
    {
        const support::TempFolder folder;
        std::filesystem::copy(plant().path(), folder.path(),
                              std::filesystem::copy_options::recursive |
                                  std::filesystem::copy_options::overwrite_existing);
        for (const auto& entry : std::filesystem::recursive_directory_iterator(folder.path()))
            if (entry.path().extension() == ".jpg") {
                std::ofstream(entry.path(), std::ios::binary | std::ios::app) << "x";
                break;
            }
        const Ran checked = run("check --book '" + (folder.path() / "book").string() + "'", folder.path());
        CHECK(checked.code == 1);
        CHECK(says(checked, "photo"));
    }

    TEST_CASE("a job is countersigned by its supervisor once, and a fitter cannot")
    {
        const support::TempFolder folder;
        const std::string         book = "--book '" + (folder.path() / "book").string() + "'";
        REQUIRE(run("demo --shifts 2 " + book, folder.path()).code == 0);
        const auto sign = [&](const std::string& badge, const std::string& pin) {
            return support::run_shell("echo " + pin + " | " + WM_PROGRAM + " countersign 1802 --badge " +
                                          badge + " " + book,
                                      folder.path());
        };
        const Ran fitter = sign("118", "1180");
        CHECK(fitter.code != 0);
        const Ran wrong = sign("205", "9999");
        CHECK(wrong.code != 0);
        const Ran signed_off = sign("205", "2050");
        CHECK_MESSAGE(signed_off.code == 0, signed_off.says);
        CHECK(run("review --json --since 2001-01-01 " + book, folder.path()).code == 0);
    }
}
