// `witnessmark figure` of mounting and of populations: what goes beyond the stable keys, units, wrong use.
#include <algorithm>
#include <fstream>

#include "tests/field/cli/figure_said.h"
#include "tests/support/temp_folder.h"

using support::figure;
using support::figure_json;
using support::Said;

namespace {
const std::string kBolt = "bolt --size M16 --class 8.8 ";

std::string sheet(const support::TempFolder& folder, const std::string& name, const std::string& text)
{
    const auto path = folder.path() / name;
    std::ofstream(path) << text;
    return path.string();
}
} // namespace

TEST_SUITE("field/cli/figure mounting")
{
    TEST_CASE("shims from what lies at hand, and the plane of three points")
    {
        const auto pack = figure_json("shims --travel 1mm --leaf 0.5mm*1,0.2mm*2,0.02in");
        CHECK(pack["leaves"].size() == 3); // 0.02 in and both of 0.2 mm; one of 0.5 mm more is over
        CHECK(pack["left_over_mm"] == doctest::Approx(0.092));
        const auto plane = figure_json("shims --travel 1mm --under 1.15mm 1mm 1mm --circle 200mm");
        CHECK(plane["tilt_deg"] == doctest::Approx(0.0573).epsilon(1e-3));
        CHECK(plane["across_mm"] == doctest::Approx(0.2));
    }

    TEST_CASE("gaps, directions and torque readings reach the engine")
    {
        const auto grown =
            figure_json("expansion --span 1000mm --rise 50K --float-total 4mm --reading 2mm 2mm");
        CHECK(grown["move_mm"] == doctest::Approx(0.6));
        CHECK(grown["room_left_mm"] == doctest::Approx(1.4));
        CHECK(figure_json("align --span 800mm --offset-up 1mm")["direction_deg"] == doctest::Approx(90));
        CHECK(figure_json(kBolt + "--lube dry --read 218Nm")["verdict"] == "inside");
        CHECK(figure_json(kBolt + "--lube dry --read 161lbf.ft --wanted 200Nm")["verdict"] == "undecided");
        CHECK(figure_json(kBolt + "--friction 0.12")["k"].get<double>() ==
              doctest::Approx(0.16).epsilon(0.05));
        CHECK(figure_json(kBolt + "--lube dry --bolts 12")["passes"].size() == 5);
        CHECK(figure_json("bolt --size M16x1.5 --class 8.8 --lube dry")["preload_kn"] >
              figure_json(kBolt + "--lube dry")["preload_kn"]);
    }

    TEST_CASE("lives of many bearings answer with their stable keys [NIST-APR413]")
    {
        const support::TempFolder folder;
        const std::string         nist =
            sheet(folder, "nist.csv",
                  "time_h,event,count\n54,1,1\n187,1,1\n216,1,1\n240,1,1\n244,1,1\n335,1,1\n"
                  "361,1,1\n373,1,1\n375,1,1\n386,1,1\n500,0,10\n");
        const auto fit = figure_json("weibull " + nist);
        CHECK(fit["shape"] == doctest::Approx(1.7208).epsilon(5e-5));
        CHECK(fit["scale_h"] == doctest::Approx(606.528).epsilon(5e-6));
        for (const std::string key : {"shape_low", "shape_high", "log_likelihood", "b10_h", "reading"})
            CHECK(fit.contains(key));
        CHECK(figure_json("weibull " + nist + " --confidence 99%")["shape_low"] < fit["shape_low"]);
        CHECK(figure("weibull " + nist).code == 0);
    }

    TEST_CASE("groups are told one by one, and one alone is not compared")
    {
        const support::TempFolder folder;
        const std::string         two =
            sheet(folder, "two.csv", "group,time_h,event\nA,5,1\nA,9,1\nA,12,0\nB,20,1\nB,25,1\nB,30,0\n");
        const auto both = figure_json("survival " + two);
        CHECK(both["groups"]["A"]["times"] == nlohmann::json({5.0, 9.0}));
        CHECK(both["groups"]["B"]["s"].size() == 2);
        CHECK(both["groups"]["A"]["se"].size() == 2);
        CHECK(both["dof"] == 1);
        CHECK(both["p"].get<double>() < 0.2);
        CHECK(both["p"].get<double>() > 0.05);
        const auto one = figure_json("survival " + sheet(folder, "one.csv", "time_h,event\n5,1\n9,0\n"));
        CHECK(one["groups"].contains("all"));
        CHECK(one["chi_square"].is_null());
        const Said words =
            figure("survival " + sheet(folder, "none.csv", "group,time_h,event\nA,5,0\nB,9,0\n"));
        CHECK(words.code == 0);
        CHECK(words.out.find("A: none") != std::string::npos);
    }

    TEST_CASE("wrong use and bad input end with 2 and one sentence, and print no figures")
    {
        const support::TempFolder folder;
        const std::string         bad = sheet(folder, "bad.csv", "time_h,event\n5,perhaps\n");
        const std::string         one = sheet(folder, "one.csv", "time_h,event\n5,1\n");
        for (const std::string& line :
             {kBolt, kBolt + "--lube dry --friction 0.12", kBolt + "--friction 9",
              kBolt + "--lube dry --read 5", kBolt + "--lube dry --share 99%",
              kBolt + "--lube dry --read 5Nm --tolerance 90%",
              std::string("bolt --size M16x9 --class 8.8 --lube dry"),
              std::string("shims --travel 1mm --leaf 0.5mm*many"),
              std::string("shims --travel 1mm --under 1mm 1mm 1mm"),
              std::string("shims --travel 1mm --under 1mm 1mm 90mm --circle 200mm"), "weibull " + bad,
              "weibull " + one, "survival " + bad, std::string("weibull nowhere.csv"),
              std::string("survival"), "weibull " + one + " --confidence 100"}) {
            CAPTURE(line);
            const Said said = figure(line);
            CHECK(said.code == 2);
            CHECK(said.out.empty());
            CHECK(said.err.find("witnessmark: ") == 0);
            CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
        }
    }
}
