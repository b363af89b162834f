// What a supervisor and a planner say by command: decisions with a PIN that is never on the command line,
// what is retired and what is ended.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <string>

#include "tests/support/picture.h"
#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

using nlohmann::json;
using support::Ran;
using support::says;

/// A demo book in a folder of its own, with PINs in files.
class Counter {
  public:
    Counter()
    {
        put("boss.pin", "2050\r\n");
        put("wrong.pin", "0000\n");
        does("demo --shifts 2 --not-enrolled");
        const auto jpeg = support::numbered_jpeg(1);
        std::ofstream(folder_.path() / "photo.jpg", std::ios::binary)
            .write(reinterpret_cast<const char*>(jpeg.data()), static_cast<std::streamsize>(jpeg.size()));
    }
    void put(const std::string& name, const std::string& text) const
    {
        std::ofstream(folder_.path() / name) << text;
    }
    [[nodiscard]] Ran run(const std::string& arguments, const std::string& input = "/dev/null") const
    {
        return support::run_shell("cd '" + folder_.path().string() + "' && " + WM_PROGRAM + " " + arguments +
                                      " --book book < " + input,
                                  folder_.path());
    }
    Ran does(const std::string& arguments) const
    {
        Ran ran = run(arguments);
        REQUIRE_MESSAGE(ran.code == 0, arguments << ": " << ran.says);
        return ran;
    }
    /// Carries out steps of the open job 2224.
    [[nodiscard]] Ran fill(const std::string& steps, const std::string& fitter = "118") const
    {
        put("job.json", R"({"job": "2224", "actor": ")" + fitter + R"(", "steps": [)" + steps + "]}");
        return run("fill job.json --photos .");
    }
    void locks() const
    {
        const Ran ran = fill(R"({"step": "isolate", "codes": {"lock_number": "5512"}, )"
                             R"("photos": {"lock_photo": "photo.jpg"}})");
        REQUIRE_MESSAGE(ran.code == 0, ran.says);
    }
    void reports_problem() const
    {
        const Ran ran = fill(R"({"step": "papers", "problem": "wrong_part", "close": false})");
        REQUIRE_MESSAGE(ran.code == 0, ran.says);
    }
    [[nodiscard]] json review_of(const std::string& job) const
    {
        const json review = json::parse(run("review --json").out, nullptr, false);
        for (const json& one : review["jobs"])
            if (one["job"] == job) return one;
        return {};
    }

  private:
    support::TempFolder folder_;
};

const std::string kDecide = "decide 2224 --step papers --accept --reason sheet_confirmed --actor 205";

} // namespace

TEST_SUITE("field/sign")
{
    TEST_CASE("a PIN comes from a file or standard input, and never from the command line")
    {
        const Counter     desk;
        const std::string sign = "countersign 1802 --badge 205";
        const Ran         seen = desk.run(sign + " --pin 2050");
        CHECK(seen.code == 2);
        for (const char* way : {"--pin-file", "type it", "standard input"})
            CHECK_MESSAGE(says(seen, way), seen.says);
        CHECK_FALSE(says(seen, "2050"));
        CHECK_FALSE(says(desk.run("countersign --help"), "--pin "));
        CHECK(desk.run(sign).code == 2); // nothing on standard input
        CHECK(desk.run(sign + " --pin-file none.pin").code == 2);
        CHECK(desk.run(sign + " --pin-file wrong.pin").code == 1);
        const Ran typed = desk.run(sign, "boss.pin");
        CHECK_MESSAGE(typed.code == 0, typed.says);
        CHECK(desk.run("return 1802 --badge 205 --reason photo_missing --pin-file boss.pin").code == 0);
    }

    TEST_CASE("wrong PINs by command cost time too, over new starts of the program")
    {
        const Counter desk;
        for (int i = 0; i < 4; ++i)
            CHECK(desk.run("countersign 1802 --badge 205 --pin-file wrong.pin").code == 1);
        CHECK(says(desk.run("return 1802 --badge 205 --reason x --pin-file wrong.pin"), "wrong 5 times"));
        const Ran right = desk.run("countersign 1802 --badge 205 --pin-file boss.pin");
        CHECK(right.code == 1);
        CHECK_MESSAGE(says(right, "the next one is looked at in 1 min"), right.says);
        CHECK(desk.run("check").code == 0);
    }

    TEST_CASE("a step that waits is decided by command, which says what is decided on")
    {
        const Counter desk;
        desk.locks();
        CHECK(says(desk.run(kDecide, "boss.pin"), "there is nothing to decide"));
        desk.reports_problem();
        CHECK(desk.run("decide 2224 --step papers --reason x --actor 205", "boss.pin").code == 2);
        CHECK(desk.run(kDecide + " --refuse", "boss.pin").code == 2);
        CHECK(desk.run("decide 2224 --step none --accept --reason x --actor 205", "boss.pin").code == 2);
        const Ran fitter = desk.run("decide 2224 --step papers --accept --reason x --actor 118", "boss.pin");
        CHECK(fitter.code == 1);
        const Ran wrong = desk.run(kDecide, "wrong.pin");
        CHECK(wrong.code == 1);
        CHECK(says(wrong, "Decides on papers:"));
        CHECK(says(wrong, "problem: wrong_part (118)"));
        const Ran right = desk.run(kDecide, "boss.pin");
        CHECK_MESSAGE(right.code == 0, right.says);
        CHECK(says(right, "Accepted by 205: sheet_confirmed. Signed: entry "));
        CHECK(says(desk.run("trace --job 2224"), "sheet_confirmed"));
        CHECK(says(desk.run(kDecide, "boss.pin"), "there is nothing to decide"));
    }

    TEST_CASE("a decision by command may be no, and the step waits for another measurement")
    {
        const Counter desk;
        desk.locks();
        desk.reports_problem();
        const Ran no = desk.run("decide 2224 --step papers --refuse --reason measure_again --actor 205 "
                                "--pin-file boss.pin");
        CHECK_MESSAGE(no.code == 0, no.says);
        CHECK(says(no, "Refused by 205: measure_again."));
        CHECK(desk.fill(R"({"step": "papers", "problem": "wrong_part", "close": false})").code == 1);
    }

    TEST_CASE(
        "a retired instrument is shown so, stays so through an import, and is retired once by a planner")
    {
        const Counter desk;
        const auto    line_of_tool = [&desk] {
            const std::string all = desk.does("instruments list").out;
            const auto        at  = all.find("M-07 ");
            return at == std::string::npos ? std::string() : all.substr(at, all.find('\n', at) - at);
        };
        CHECK_FALSE(line_of_tool().empty());
        CHECK(desk.run("instruments retire M-07 --reason dropped --actor 118").code == 1);
        CHECK(desk.run("instruments retire X-99 --reason dropped --actor 401").code == 2);
        CHECK(desk.run("instruments retire M-07 --actor 401").code == 2);
        CHECK(line_of_tool().find("retired") == std::string::npos);
        desk.does("instruments retire M-07 --reason dropped --actor 401");
        CHECK(line_of_tool().find("retired: dropped") != std::string::npos);
        CHECK(desk.run("instruments retire M-07 --reason again --actor 401").code == 1);
        const Ran again = desk.run("instruments import '" + std::string(WM_SOURCE_DIR) +
                                   "/assets/demo/instruments.csv' --actor 401");
        CHECK_MESSAGE(says(again, "instruments: 0 taken"), again.says);
        CHECK(line_of_tool().find("retired: dropped") != std::string::npos);
    }

    TEST_CASE("a job is ended by command, and review, trace and the list of jobs say so")
    {
        const Counter desk;
        desk.locks();
        CHECK(desk.run("jobs end 2224 --reason scrapped --actor 118").code == 1);
        CHECK(desk.run("jobs end 9999 --reason scrapped --actor 401").code == 2);
        desk.does("jobs end 2224 --reason 'machine is scrapped' --actor 401");
        const Ran work = desk.fill(R"({"step": "papers", "problem": "wrong_part", "close": false})");
        CHECK(work.code == 1);
        CHECK_MESSAGE(says(work, "was ended by badge 401 (machine is scrapped)"), work.says);
        const json job = desk.review_of("2224");
        CHECK(job["ended"]["by"] == "401");
        CHECK(job["ended"]["reason"] == "machine is scrapped");
        CHECK(job["needs_decision"] == false);
        CHECK(says(desk.run("review"), "ended by 401: machine is scrapped"));
        CHECK(says(desk.run("trace --job 2224"), "machine is scrapped"));
        CHECK(says(desk.run("jobs list"), "ended by 401: machine is scrapped"));
        CHECK(desk.run("check").code == 0);
    }
}
