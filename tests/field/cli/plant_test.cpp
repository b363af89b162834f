// A plant of one's own from its first minute, as a planner founds it by command; and demos that keep apart.
#include "engine/base/files.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>
#include <string>
#include <vector>

#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using support::says;

/// A folder with secrets in files, where the program is run.
class Office {
  public:
    Office()
    {
        put("planner.pin", "4711");
        put("wrong.pin", "0000");
        put("boss.pin", "2050");
        put("words", "reed mill long words");
    }
    void put(const std::string& name, const std::string& text) const
    {
        std::ofstream(folder_.path() / name) << text << '\n';
    }
    [[nodiscard]] fs::path     at(const std::string& name) const { return folder_.path() / name; }
    [[nodiscard]] support::Ran run(const std::string& arguments) const
    {
        return support::run_shell("cd '" + folder_.path().string() + "' && " + WM_PROGRAM + " " + arguments,
                                  folder_.path());
    }
    support::Ran does(const std::string& arguments) const
    {
        const auto ran = run(arguments);
        REQUIRE_MESSAGE(ran.code == 0, arguments << ": " << ran.says);
        return ran;
    }
    void founds(const std::string& share = "share") const
    {
        does("plant new --name 'Mill 3' --shared " + share +
             " --book office.book --badge 900 --quick --pin-file "
             "planner.pin --passphrase-file words");
    }
    [[nodiscard]] json list(const std::string& book) const
    {
        return json::parse(does("enrol list --json --book " + book).out);
    }
    /// The tablet's book made, its plant key trusted, its first words in the folder.
    void joins(const std::string& name, bool enrolled) const
    {
        const std::string paper = does("enrol show --only plant --book office.book").out;
        does("plant join --shared share --machine " + name + " --book " + name + ".book --fingerprint '" +
             paper.substr(0, paper.find('\n')) + "'");
        if (!enrolled) return;
        const std::string code = does("enrol show --only code --book " + name + ".book").out;
        does("enrol add --role recorder --book office.book --key plant.key --secret-file words '" +
             code.substr(0, code.find('\n')) + "'");
        does("exchange --book office.book --shared share");
        does("exchange --book " + name + ".book --shared share");
    }

  private:
    support::TempFolder folder_;
};

std::string demo_file(const char* name)
{
    return (engine::assets_folder() / "demo" / name).string();
}

constexpr const char* kPromotion = "badge,role,pin\n112,supervisor,\n";
constexpr const char* kFirst     = "badge,role,pin\n112,fitter,\n205,supervisor,2050\n401,planner,4010\n";

} // namespace

TEST_SUITE("cli/plant")
{
    TEST_CASE("a plant of its own is enrolled from its first minute")
    {
        const Office office;
        office.founds();
        const json list = office.list("office.book");
        CHECK(list["enrolled"] == true);
        CHECK(list["plant"] == "Mill 3");
        REQUIRE(list["machines"].size() == 1);
        CHECK(list["machines"][0]["role"] == "planner");
        REQUIRE(list["persons"].size() == 1);
        CHECK(list["persons"][0]["badge"] == "900");
        CHECK(list["persons"][0]["role"] == "planner");
        CHECK(list["set_aside"].empty());
        for (const char* kind : {"units", "people", "instruments", "jobs"}) {
            const auto text = support::text_of(office.at("templates") / (std::string(kind) + ".csv"));
            CHECK_MESSAGE(text.rfind('#', 0) == 0, kind << ": " << text.substr(0, 80));
        }
        CHECK(office.does("check --shared share").says.find("whole") != std::string::npos);
        const json shown = json::parse(office.does("enrol show --json --book office.book").out);
        CHECK(shown["plant_enrolled"] == true);
        CHECK(shown["plant_invented"] == false);
        CHECK(shown["plant_id"].get<std::string>().size() == 32);
        CHECK(shown["plant_notices"].empty());
    }

    TEST_CASE("a plant that could not be founded leaves no half of a book behind")
    {
        const Office office;
        office.put("letters.pin", "abcd");
        const auto bad = office.run("plant new --name 'Mill 3' --shared share --book office.book --badge 900 "
                                    "--quick --pin-file letters.pin --passphrase-file words");
        CHECK(bad.code == 2);
        CHECK(says(bad, "4 to 12 digits"));
        for (const char* file : {"office.book", "office.book.key", "office.book.d"})
            CHECK_FALSE(fs::exists(office.at(file)));
        CHECK(office.run("plant new --name a:b --shared share --book office.book --badge 900").code == 2);
        office.founds();
        const auto again =
            office.run("plant new --name 'Mill 4' --shared share --book two.book --key two.key "
                       "--badge 900 --quick --pin-file planner.pin --passphrase-file words");
        CHECK(again.code == 2);
        CHECK(says(again, "of a plant already (Mill 3)"));
        CHECK_FALSE(fs::exists(office.at("two.book")));
    }

    TEST_CASE("in an enrolled plant files are taken from a planner's machine, badge and PIN only")
    {
        const Office office;
        office.founds();
        office.put("first.csv", kFirst);
        office.put("promotion.csv", kPromotion);
        const std::string as_planner = " --actor 900 --pin-file planner.pin";
        CHECK(office.run("people import first.csv --book office.book").code == 2);
        CHECK(
            office.run("people import first.csv --book office.book --actor 900 --pin-file wrong.pin").code ==
            2);
        office.does("people import first.csv --book office.book" + as_planner);
        // A badge that the catalogue calls planner and that has no key of its own brings in nothing.
        const auto keyless =
            office.run("people import promotion.csv --book office.book --actor 401 --pin-file planner.pin");
        CHECK(keyless.code == 2);
        CHECK(says(keyless, "no signing key"));
        CHECK(says(office.run("people import promotion.csv --book office.book --actor 112"),
                   "112 is a fitter"));

        office.joins("T-07", true);
        const auto tablet =
            office.run("people import promotion.csv --book T-07.book --actor 900 --pin-file planner.pin");
        CHECK(tablet.code == 2);
        CHECK(says(tablet, "is enrolled as recorder"));
        CHECK(office.list("office.book")["set_aside"].empty());
    }

    TEST_CASE("without enrolment only a planner's badge brings in what follows the first people file")
    {
        const Office office;
        office.put("first.csv", kFirst);
        office.put("promotion.csv", kPromotion);
        office.does("people import first.csv --book a.book");
        const auto nobody = office.run("people import promotion.csv --book a.book");
        CHECK(nobody.code == 2);
        CHECK(says(nobody, "--actor"));
        for (const char* badge : {"112", "205", "999"})
            CHECK(
                office.run(std::string("people import promotion.csv --book a.book --actor ") + badge).code ==
                2);
        CHECK(office.run("units import '" + demo_file("units.csv") + "' --book a.book").code == 2);
        office.does("people import promotion.csv --book a.book --actor 401");

        office.put("no_planner.csv", "badge,role,pin\n112,fitter,\n");
        office.does("people import no_planner.csv --book b.book");
        const auto alone = office.run("people import promotion.csv --book b.book");
        CHECK(alone.code == 2);
        CHECK(says(alone, "only a planner gives a known badge another role"));
    }

    TEST_CASE("entries set aside are listed with the id that accepting them asks for")
    {
        const Office office;
        office.founds();
        office.put("first.csv", kFirst);
        office.does("people import first.csv --book office.book --actor 900 --pin-file planner.pin");
        office.joins("T-07", true);
        office.does("exchange --book office.book --shared share");
        office.does("enrol revoke T-07 --reason lost --last 1 --book office.book --key plant.key "
                    "--secret-file words");
        const json waiting = json::parse(office.does("enrol waiting --json --book office.book").out);
        REQUIRE(waiting["set_aside"].size() > 0);
        const json& one = waiting["set_aside"][0];
        CHECK(one["machine"] == "T-07");
        CHECK(one["code"] == "R05");
        CHECK(one["id"].get<std::string>().size() == 64);
        CHECK(says(office.does("enrol waiting --book office.book"), one["id"].get<std::string>()));
        office.does(
            "enrol accept " + one["id"].get<std::string>() +
            " --reason 'read before it was lost' --book office.book --key plant.key --secret-file words");
        const json left = json::parse(office.does("enrol waiting --json --book office.book").out);
        CHECK(left["set_aside"].size() + 1 == waiting["set_aside"].size());
    }

    TEST_CASE("a machine that has joined and is not enrolled waits with its code")
    {
        const Office office;
        office.founds();
        office.joins("T-07", false);
        const json waiting =
            json::parse(office.does("enrol waiting --json --shared share --book office.book").out);
        REQUIRE(waiting["machines"].size() == 1);
        CHECK(waiting["machines"][0]["name"] == "T-07");
        const std::string code = office.does("enrol show --only code --book T-07.book").out;
        CHECK(waiting["machines"][0]["code"].get<std::string>() + "\n" == code);
        const auto nowhere = office.run("plant join --shared templates --book x.book --machine T-08");
        CHECK(nowhere.code == 2);
        CHECK_FALSE(fs::exists(office.at("x.book")));
    }

    TEST_CASE(
        "two demo books of one seed have keys and plants of their own, and keep out of each other's folder")
    {
        const Office office;
        for (const char* name : {"one", "two"})
            office.does(std::string("demo --shifts 0 --seed 1 --book ") + name + ".book");
        CHECK(support::text_of(office.at("one.book.key")) != support::text_of(office.at("two.book.key")));
        fs::create_directory(office.at("share"));
        office.does("exchange --book one.book --shared share");
        const auto other = office.run("exchange --book two.book --shared share");
        CHECK(other.code == 2);
        CHECK(says(other, "another plant"));
        CHECK(says(other, "Nothing was taken or written"));
        CHECK(says(office.does("check --shared share"), "1 machines"));
        office.founds("mill");
        const auto real = office.run("exchange --book office.book --shared share");
        CHECK(real.code == 2);
        CHECK(says(real, "an invented demo plant"));
    }

    TEST_CASE("the program and an independent verifier say the same of one plant's folder and of two in one")
    {
        const Office office;
        office.does("demo --shifts 0 --book one.book --shared share");
        office.does("demo --shifts 0 --book two.book --shared other");
        const auto codes_of = [&office] {
            const std::string verifier =
                "python3 '" + (fs::path(WM_SOURCE_DIR) / "tests/verifier/verify.py").string() + "' share";
            const auto said =
                support::run_shell("cd '" + office.at("").string() + "' && " + verifier, office.at(""));
            auto ours = json::parse(office.run("check --json --shared share").out)["codes"];
            std::sort(ours.begin(), ours.end());
            CHECK(json::parse(said.out)["codes"] == ours);
            return ours;
        };
        CHECK(codes_of().empty());
        fs::copy(office.at("other"), office.at("share"),
                 fs::copy_options::recursive | fs::copy_options::skip_existing);
        const auto mixed = codes_of();
        CHECK(std::count(mixed.begin(), mixed.end(), "R10") >= 2);
    }

    TEST_CASE("review, trace, pack and its check name a plant that is not enrolled, and one that is invented")
    {
        const Office office;
        office.does("demo --shifts 1 --not-enrolled --book free.book");
        office.does("demo --shifts 1 --book demo.book");
        for (const std::string book : {"free", "demo"}) {
            CAPTURE(book);
            const std::string        at = " --book " + book + ".book";
            std::vector<std::string> answers{office.run("review" + at).out};
            answers.push_back(office.does("trace --job 1801" + at).out);
            answers.push_back(office.does("pack --job 1801 --out " + book + ".pack" + at).out);
            answers.push_back(office.does("check --pack " + book + ".pack").out);
            for (const std::string& answer : answers) {
                CAPTURE(answer);
                CHECK(answer.find("saltmarsh (invented demo plant)") != std::string::npos);
                CHECK((answer.find("This plant is not enrolled: anybody who can write to its folder") !=
                       std::string::npos) == (book == "free"));
            }
            for (const std::string& command : {"review --json" + at, "trace --json --job 1801" + at,
                                               "check --json --pack " + book + ".pack"}) {
                CAPTURE(command);
                const json told = json::parse(office.run(command).out);
                CHECK(told["plant_enrolled"] == (book == "demo"));
                CHECK(told["plant_invented"] == true);
                CHECK(told["plant_notices"].size() == (book == "free" ? 1 : 0));
            }
        }
    }

    TEST_CASE("the demo plant is founded as a real one, says that it is invented, and its supervisor signs")
    {
        const Office office;
        CHECK(says(office.does("demo --shifts 2 --book demo.book"), "(invented demo plant)"));
        CHECK(office.list("demo.book")["enrolled"] == true);
        CHECK(office.list("demo.book")["set_aside"].empty());
        CHECK(json::parse(office.does("enrol show --json --book demo.book").out)["plant_invented"] == true);
        const auto signs = office.run("countersign 1802 --book demo.book --badge 205 --pin-file boss.pin");
        CHECK_MESSAGE(signs.code == 0, signs.says);
        const auto not_so = office.does("demo --shifts 0 --not-enrolled --book free.book");
        CHECK(says(not_so, "This plant is not enrolled"));
    }
}
