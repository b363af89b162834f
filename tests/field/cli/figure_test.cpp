// `witnessmark figure`: the keys others rely on, and wrong use. The numbers themselves are checked in
// tests/engine; a few are repeated here to see that the options reach the engine.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>
#include <string>
#include <vector>

#include "tests/field/cli/figure_said.h"
#include "tests/support/temp_folder.h"

namespace {

using support::figure;
using support::Said;

nlohmann::json json_of(const std::string& line)
{
    const Said said = figure(line + " --json");
    REQUIRE(said.code == 0);
    return nlohmann::json::parse(said.out);
}

const std::string kSeat = "seat --nominal 50mm --class h9 --form IT5/2 --reading I.across=49.972mm --reading "
                          "I.up=49.974mm --reading II.across=49.970mm --reading II.up=49.972mm";
const std::string kRing = "drawup --bore 100mm --raceway 125mm --taper 1:12 --pitch 2mm ";

} // namespace

TEST_SUITE("field/cli/figure")
{
    TEST_CASE("every topic answers in people's words and with its stable keys")
    {
        support::TempFolder folder;
        const std::string   csv = (folder.path() / "run.csv").string();
        std::ofstream(csv)
            << "minutes,temperature_c,ambient_c\n0,20,20\n10,33,20\n20,40,20\n30,44,20\n45,47,20\n"
               "60,48.5,20\n90,49.5,20\n120,49.8,20\n";
        struct Row {
            std::string              line;
            std::vector<std::string> keys;
        };
        const std::vector<Row> rows{
            {"limits --nominal 50mm --class h9", {"lower_mm", "upper_mm", "tolerance_mm", "source"}},
            {kSeat, {"mean_20c_mm", "u_mm", "out_of_round_mm", "taper_mm", "size_verdict", "form_verdict"}},
            {kRing + "--angle 90deg --width 40mm",
             {"travel_mm", "angle_deg", "interference_mm", "growth_mm", "clearance_taken_mm", "pressure_mpa",
              "axial_force_kn", "nut_torque_nm"}},
            {"tab --slots 4 --tangs 13 --turned 90deg",
             {"step_deg", "extra_deg", "final_deg", "extra_travel_mm", "verdict"}},
            {"shims --turns 1turn --pitch 24tpi", {"travel_mm", "thickness_mm", "leaves", "left_over_mm"}},
            {"expansion --span 1200mm --rise 45K --alpha 12e-6/K",
             {"growth_mm", "float_each_mm", "set_off_mm", "verdict"}},
            {"align --span 800mm --offset-across -0.3mm --offset-up 0.2mm --limit 2deg",
             {"angle_deg", "verdict"}},
            {"bolt --size M16 --class 8.8 --lube dry --bolts 4",
             {"preload_kn", "torque_nm", "passes", "order"}},
            {"grease --bore 100mm --outer 180mm --width 46mm --speed 1000rpm",
             {"first_fill_g", "refill_g", "interval_h"}},
            {"run-in " + csv, {"peak_c", "level_c", "level_after_min", "rise_k", "verdict"}},
        };
        for (const Row& row : rows) {
            CAPTURE(row.line);
            const auto document = json_of(row.line);
            REQUIRE(document.contains("source"));
            CHECK(document["source"].get<std::string>().size() > 5);
            for (const std::string& key : row.keys) {
                CAPTURE(key);
                CHECK(document.contains(key));
            }
            const Said said = figure(row.line);
            CHECK(said.code == 0);
            CHECK(said.err.empty());
            CHECK(said.out.find('{') == std::string::npos);
            CHECK(std::count(said.out.begin(), said.out.end(), '\n') >= 2);
        }
    }

    TEST_CASE("options reach the engine with their units")
    {
        CHECK(json_of("limits --nominal 50mm --class h9")["lower_mm"] ==
              doctest::Approx(-0.062).epsilon(1e-9));
        CHECK(json_of(kSeat)["mean_20c_mm"] == doctest::Approx(49.972).epsilon(1e-9));
        CHECK(json_of(kSeat + " --temperature 30C")["mean_20c_mm"] ==
              doctest::Approx(49.972 * (1 - 11.5e-5)).epsilon(1e-9));
        CHECK(json_of(kSeat + " --mpe 40um")["size_verdict"] == "undecided");
        CHECK(json_of(kRing + "--angle 0.25turn")["travel_mm"] == doctest::Approx(0.5).epsilon(1e-9));
        CHECK(json_of(kRing + "--travel 0.5mm")["angle_deg"] == doctest::Approx(90).epsilon(1e-9));
        CHECK(json_of(kRing + "--take 50um")["travel_mm"] == doctest::Approx(0.75).epsilon(1e-9));
        CHECK(json_of(kRing + "--take 50um --on-sleeve")["travel_mm"] ==
              doctest::Approx(0.825).epsilon(1e-9));
        CHECK(json_of(kRing + "--angle 90deg")["axial_force_kn"].is_null());
        CHECK(json_of("shims --travel 1mm --leaf 0.5mm,0.2mm")["leaves"].size() == 2);
        CHECK(json_of("bolt --size M16 --class 8.8 --lube dry --bolts 4")["order"] ==
              nlohmann::json({1, 3, 2, 4}));
        CHECK(json_of("bolt --size M16 --class 8.8 --lube dry")["passes"].size() == 4);
        CHECK(json_of("align --slope-across 1mm/m --slope-up 0deg")["angle_deg"] ==
              doctest::Approx(0.0573).epsilon(1e-3));
        CHECK(
            json_of(
                "expansion --span 3000mm --rise 70K --float-total 30.4mm --reading 15mm 15.4mm")["verdict"] ==
            "inside");
    }

    TEST_CASE("wrong use and bad input end with 2 and one sentence, and print no figures")
    {
        for (const std::string line :
             {"",
              "nope",
              "limits",
              "limits --nominal 50 --class h9",
              "limits --nominal 50mm --class H9",
              "limits --nominal 900mm --class h9",
              "limits --nominal 50mm --class h9 --nope 3",
              "seat --nominal 50mm --class h9 --form IT5/2",
              "drawup --bore 50mm --raceway 62mm --pitch 1.5mm",
              "seat --nominal 50mm --class h9 --form IT5/2 --reading 49.97mm",
              "seat --nominal 50mm --class h9 --form IT5/2 --reading I.up=49.97",
              "drawup --bore 50mm --raceway 62mm --pitch 1.5mm --angle 90deg --travel 1mm",
              "drawup --bore nanmm --raceway 62mm --pitch 1.5mm --angle 90deg",
              "tab --slots 4.5 --tangs 13 --turned 90deg",
              "shims --turns 1turn",
              "shims --pitch 24tpi",
              "expansion --span 1m --rise 45K",
              "expansion --span 1000mm --rise 45K --reading 3mm",
              "align --limit 2deg",
              "bolt --size M16 --class 8.8 --lube zinc",
              "bolt --size M16 --class 8.8",
              "bolt --size M16 --class 8.8 --lube dry --bolts 25",
              "run-in no_such_file.csv",
              "grease --bore 100mm --outer 180mm --width 46mm --speed 1000"}) {
            CAPTURE(line);
            const Said said = figure(line);
            CHECK(said.code == 2);
            CHECK(said.out.empty());
            CHECK(said.err.find("witnessmark: ") == 0);
            CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
        }
    }

    TEST_CASE("every topic explains itself")
    {
        for (const std::string topic : {"", "limits", "seat", "drawup", "tab", "shims", "expansion", "align",
                                        "bolt", "grease", "run-in"}) {
            CAPTURE(topic);
            const Said said = figure(topic + " --help");
            CHECK(said.code == 0);
            CHECK(said.out.find("Usage") != std::string::npos);
            if (!topic.empty()) CHECK(said.out.find("--json") != std::string::npos);
        }
    }
}
