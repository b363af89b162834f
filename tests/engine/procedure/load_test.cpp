// The procedure as data: what is read, and how a slip in it is told.
#include "engine/procedure/step.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>

#include "tests/support/job_plant.h"
#include "tests/support/temp_folder.h"

using namespace engine;

namespace {

Result<Procedure> load(const std::string& text, const std::string& second = {})
{
    const support::TempFolder folder;
    std::ofstream(folder / "rows.toml") << text;
    if (!second.empty()) std::ofstream(folder / "second.toml") << second;
    return load_procedure(folder.path());
}

std::string complaint(const std::string& text)
{
    const auto read = load(text);
    return read ? std::string("nothing wrong") : read.error().message;
}

const std::string kHead = "version = \"1\"\n";                             // line 1
const std::string kStep = "[[step]]\nkey = \"clean\"\nrule = \"clean\"\n"; // lines 2 to 4

} // namespace

TEST_SUITE("engine/procedure/load")
{
    TEST_CASE("the rows that come with the program are read whole")
    {
        const Procedure& read = support::procedure();
        CHECK(read.version == "adapter-sleeve 1");
        CHECK(read.steps.size() == 28);
        const Step* const zero = read.step("zero");
        REQUIRE(zero != nullptr);
        CHECK(zero->attempt);
        CHECK_FALSE(zero->skippable);
        CHECK(zero->asks.front().options.back() == Option{"no", false});
        CHECK(std::ranges::count(zero->needs, Need{"lock", Where::earlier}) == 1);
        CHECK(read.step("align")->scope == Scope::job);
        CHECK(read.step("clean")->screen == "step");
        CHECK(read.step("nobody") == nullptr);
    }

    TEST_CASE("each slip is told with its file and line")
    {
        struct Row {
            std::string text, told;
        };
        const std::string ask =
            "[[step.ask]]\nkind = \"reading\"\nname = \"gap\"\nunits = [\"mm\"]\n"; // 5 to 8
        for (const Row& row : {
                 Row{kHead + kStep + "colour = \"red\"\n", "rows.toml:5, key colour: is not known here"},
                 Row{kHead + kStep + "scope = \"place\"\n", "rows.toml:5, key scope: 'place' is not a scope"},
                 Row{kHead + kStep + "when = [\"pairs\"]\n",
                     "rows.toml:5, key when: 'pairs' is not a condition"},
                 Row{kHead + kStep + "needs = [\"dust\"]\n", "rows.toml:5, key needs: 'dust' is not a step"},
                 Row{kHead + kStep + "needs = [\"clean:later\"]\n",
                     "rows.toml:5, key needs: 'clean:later' names"},
                 Row{kHead + kStep + "needs = \"clean\"\n",
                     "rows.toml:5, key needs: the value must be a list"},
                 Row{kHead + kStep + "hold = 1\n", "rows.toml:5, key hold: the value must be true or false"},
                 Row{kHead + kStep + "caution = { level = \"WATCH\", text = \"x\" }\n",
                     "rows.toml:5, key level: 'WATCH' is not a signal word"},
                 Row{kHead + kStep + kStep, "rows.toml:5, key key: 'clean' is there twice"},
                 Row{kHead + kStep + "needs = [\"clean\"]\n",
                     "rows.toml:5, key needs: the steps wait for each other"},
                 Row{kHead + "[[step]]\nkey = \"Clean!\"\nrule = \"x\"\n",
                     "rows.toml:3, key key: 'Clean!' is no name"},
                 Row{kHead + "[[step]]\nrule = \"x\"\n", "rows.toml:2, key key: is missing"},
                 Row{kHead + "[[step]]\nkey = \"clean\"\n", "rows.toml:2, key rule: is missing"},
                 Row{kHead + kStep + "scope = \"job\"\nattempt = true\n",
                     "rows.toml:6, key attempt: a step of the"},
                 Row{kHead + kStep + ask + "tool = \"spoon\"\n", "rows.toml:9, key tool: "},
                 Row{kHead + kStep + ask + "limits = \"size\"\n",
                     "rows.toml:9, key limits: 'size' is not a limit"},
                 Row{kHead + kStep + ask + "slots = [\"1\", \"1\"]\n",
                     "rows.toml:9, key slots: '1' is there twice"},
                 Row{kHead + kStep + ask + "options = []\n", "rows.toml:9, key options: is not known here"},
                 Row{kHead + kStep + ask + ask, "rows.toml:11, key name: 'gap' is asked twice"},
                 Row{kHead + kStep + "[[step.ask]]\nkind = \"reading\"\nname = \"gap\"\nunits = [\"ell\"]\n",
                     "rows.toml:8, key units: 'ell' is not a unit"},
                 Row{kHead + kStep +
                         "[[step.ask]]\nkind = \"reading\"\nname = \"gap\"\nunits = [\"mm\", \"C\"]\n",
                     "rows.toml:8, key units: the units measure different things"},
                 Row{kHead + kStep + "[[step.ask]]\nkind = \"reading\"\nname = \"gap\"\n",
                     "rows.toml:5, key units: a reading needs at least one unit"},
                 Row{kHead + kStep + "[[step.ask]]\nkind = \"smell\"\nname = \"gap\"\n",
                     "rows.toml:6, key kind: 'smell' is not a kind of ask"},
                 Row{kHead + kStep + "[[step.ask]]\nkind = \"choice\"\nname = \"dry\"\n",
                     "rows.toml:5, key options: a choice needs options"},
                 Row{kHead + kStep +
                         "[[step.ask]]\nkind = \"choice\"\nname = \"dry\"\noptions = [{ value = \"yes\" }, "
                         "{ value = \"yes\" }]\n",
                     "rows.toml:8, key value: 'yes' is offered twice"},
                 Row{kStep, "rows.toml:1, key version: is missing"},
                 Row{kHead + "[[step]\n", "rows.toml:2, "},
             }) {
            CAPTURE(row.text);
            CHECK(complaint(row.text).substr(0, row.told.size()) == row.told);
        }
    }

    TEST_CASE("a circle of needs is found across positions too, and told step by step")
    {
        const std::string rows = kHead +
                                 "[[step]]\nkey = \"turn\"\nrule = \"x\"\nneeds = [\"lock\"]\n"
                                 "[[step]]\nkey = \"lock\"\nrule = \"x\"\nneeds = [\"turn:earlier\"]\n";
        CHECK(load(rows).has_value()); // lock at A, turn at A, lock at B ... is a line, no circle
        const std::string circle = kHead +
                                   "[[step]]\nkey = \"turn\"\nrule = \"x\"\nneeds = [\"lock:all\"]\n"
                                   "[[step]]\nkey = \"lock\"\nrule = \"x\"\nneeds = [\"turn:earlier\"]\n";
        CHECK(complaint(circle).find("turn needs lock needs turn") != std::string::npos);
    }

    TEST_CASE("a step of the whole job that needs a step of the positions says all")
    {
        const std::string text = kHead + kStep +
                                 "[[step]]\nkey = \"align\"\nrule = \"x\"\nscope = \"job\"\n"
                                 "needs = [\"clean\"]\n";
        CHECK(complaint(text) ==
              "rows.toml:9, key needs: 'clean' is a step of each position; write clean:all.");
    }

    TEST_CASE("rows given in the wrong order are put right, the others stay")
    {
        const auto read =
            load(kHead + "[[step]]\nkey = \"b\"\nrule = \"x\"\nneeds = [\"c\"]\n"
                         "[[step]]\nkey = \"a\"\nrule = \"x\"\n[[step]]\nkey = \"c\"\nrule = \"x\"\n");
        REQUIRE(read);
        std::string order;
        for (const Step& step : read->steps)
            order += step.key;
        CHECK(order == "acb");
    }

    TEST_CASE("all files of the folder are one procedure; one slip refuses all of it")
    {
        const auto both = load(kHead + kStep, "[[step]]\nkey = \"dry\"\nrule = \"x\"\nneeds = [\"clean\"]\n");
        REQUIRE(both);
        CHECK(both->steps.size() == 2);
        const auto bad = load(kHead + kStep, "[[step]]\nkey = \"dry\"\nneeds = [\"x\"]\n");
        REQUIRE_FALSE(bad);
        CHECK(bad.error().context.find("second.toml:1, key rule") != std::string::npos);
        CHECK(bad.error().context.find("second.toml:3, key needs") != std::string::npos);
        CHECK_FALSE(load(kHead + kStep, kHead));
        CHECK(load_procedure("no/such/folder").error().fault == Fault::not_found);
    }
}
