// `witnessmark figure` of the running machine: stable keys, units, wrong use. The numbers are checked in
// tests/engine/running.
#include <algorithm>
#include <fstream>

#include "tests/field/cli/figure_said.h"
#include "tests/support/temp_folder.h"

using support::figure;
using support::figure_json;
using support::Said;

namespace {
const std::string kLife  = "life --kind roller --c 100kN --p 10kN --speed 600rpm";
const std::string kWaves = "frequencies --elements 9 --element 7.94mm --pitch 39.0398mm --speed 60rpm";
} // namespace

TEST_SUITE("field/cli/figure running")
{
    TEST_CASE("every topic of the running machine answers with its stable keys")
    {
        struct Row {
            std::string              line;
            std::vector<std::string> keys;
        };
        const std::vector<Row> rows{
            {"viscosity --at 40C=32 --at 100C=5.4 --temperature 80C", {"mm2_s"}},
            {kLife, {"l10_mrev", "l10h_h", "a_iso", "a1", "lnmh_h"}},
            {kLife + " --kappa 2 --ec 0.5 --cu 12kN --reliability 95", {"l10_mrev", "a_iso", "a1", "lnmh_h"}},
            {"vibration --rms 2.9mm/s --group 2 --support rigid", {"zone", "next_boundary_mm_s"}},
            {kWaves + " --contact 0deg", {"ftf_hz", "bpfo_hz", "bpfi_hz", "bsf_hz"}},
        };
        for (const Row& row : rows) {
            CAPTURE(row.line);
            const auto document = figure_json(row.line);
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
        }
    }

    TEST_CASE("units do not change the answers")
    {
        const auto mm2_s = [](const std::string& line) {
            return figure_json("viscosity " + line)["mm2_s"].get<double>();
        };
        CHECK(mm2_s("--at 40C=32 --at 100C=5.4 --temperature 80C") ==
              doctest::Approx(mm2_s("--at 212F=5.4cSt --at 104F=32mm2/s --temperature 176F")).epsilon(1e-9));
        CHECK(figure_json("life --kind roller --c 100000N --p 2248.0894lbf --speed 600rpm")["l10h_h"] ==
              doctest::Approx(figure_json(kLife)["l10h_h"].get<double>()).epsilon(1e-7));
        CHECK(figure_json("vibration --rms 0.1in/s --group 2 --support rigid")["zone"] == "B");
        CHECK(figure_json(
                  "frequencies --elements 9 --element 0.3126in --pitch 1.537in --speed 60rpm")["bpfo_hz"] ==
              doctest::Approx(figure_json(kWaves)["bpfo_hz"].get<double>()).epsilon(1e-4));
    }

    TEST_CASE("kappa, eC and Cu come from what is known of oil, dirt and C0")
    {
        const auto all = figure_json(
            kLife + " --viscosity 60mm2/s --dpw 150mm --ec normal --c0 120kN --p0 10kN --reliability 95%");
        CHECK(all["kappa"] == doctest::Approx(60 / (45'000 * std::pow(600, -0.83) / std::sqrt(150))));
        CHECK(all["a_iso"].get<double>() > 1);
        CHECK(all["a1"] == 0.64);
        CHECK(all["s0"] == doctest::Approx(12));
        CHECK(all["s0_verdict"] == "inside");
        const auto plain = figure_json(kLife);
        CHECK(plain["a_iso"].is_null());
        CHECK(plain["lnmh_h"].is_null());
        CHECK(figure(kLife + " --kappa 7 --ec 0.5 --cu 12kN").out.find("counts as 4") != std::string::npos);
        CHECK(figure(kLife + " --kappa 0.5 --ec 0.5 --cu 12kN").out.find("below 1") != std::string::npos);
        CHECK(figure_json(kLife + " --kappa 0.5 --ec 0.5 --cu 12kN --proven-additive")["a_iso"] ==
              figure_json(kLife + " --kappa 1 --ec 0.5 --cu 12kN")["a_iso"]);
    }

    TEST_CASE("a run-in says when its stop was due, and when the limit will be met")
    {
        support::TempFolder folder;
        const std::string   hot = (folder.path() / "hot.csv").string();
        const std::string   on  = (folder.path() / "on.csv").string();
        std::ofstream       hot_file(hot), on_file(on);
        hot_file << "minutes,temperature_c\n";
        on_file << "minutes,temperature_c\n";
        for (int t = 0; t <= 100; t += 5) {
            hot_file << t << ',' << 20 + t << '\n';
            on_file << t << ',' << 20 + 0.25 * t << '\n';
        }
        hot_file.close();
        on_file.close();
        CHECK(figure_json("run-in " + hot)["stop_at_min"] == 65);
        CHECK(figure_json("run-in " + on)["limit_at_min"] == doctest::Approx(240));
        CHECK(figure_json("run-in " + on)["level_after_min"].is_null());
    }

    TEST_CASE("a run-in tells its interval, slope and model, and what it cannot judge without the air")
    {
        support::TempFolder folder;
        const std::string   with = (folder.path() / "with.csv").string();
        const std::string   bare = (folder.path() / "bare.csv").string();
        {
            std::ofstream with_file(with), bare_file(bare);
            with_file << "minutes,temperature_c,ambient_c\n";
            bare_file << "minutes,temperature_c\n";
            for (int t = 0; t <= 240; t += 4) {
                const double c = 52 - 32 * std::exp(-t / 30.0);
                with_file << t << ',' << c << ",20\n";
                bare_file << t << ',' << c << '\n';
            }
        }
        const auto told = figure_json("run-in " + with);
        for (const std::string key : {"peak_c", "level_c", "level_low_c", "level_high_c", "level_after_min",
                                      "rise_k", "slope_k_h", "model", "verdict", "source"})
            CHECK(told.contains(key));
        CHECK(told["level_low_c"].get<double>() < 51.1);
        CHECK(told["level_high_c"].get<double>() > 52.9);
        CHECK(told["rise_k"].get<double>() == doctest::Approx(32).epsilon(1e-3));
        CHECK(told["verdict"] == "inside");
        const auto silent = figure_json("run-in " + bare);
        CHECK(silent["rise_k"].is_null());
        CHECK(figure("run-in " + bare).out.find("rise not judged: no air temperature") != std::string::npos);
        CHECK(figure_json("run-in " + with + " --u 3K")["level_high_c"].get<double>() > 54.9);
        CHECK(figure("run-in " + with + " --u 50K").code == 2);
    }

    TEST_CASE("life and survival of many, and every figure of the fit, name their source")
    {
        support::TempFolder folder;
        const std::string   lives = (folder.path() / "lives.csv").string();
        std::ofstream(lives)
            << "group,time_h,event,count\na,900,1,1\na,1500,1,1\na,2100,1,1\nb,700,1,1\nb,2600,0,1\n";
        for (const std::string topic : {"weibull ", "survival "}) {
            CAPTURE(topic);
            CHECK(figure_json(topic + lives)["source"].get<std::string>().find('[') != std::string::npos);
            CHECK(figure(topic + lives).out.find("source: ") != std::string::npos);
        }
    }

    TEST_CASE("a drawing-up says how sure it is, and whether enough clearance is left")
    {
        const std::string ring = "drawup --bore 50mm --raceway 62.5mm --taper 12 --pitch 1.5mm --group CN ";
        // 50 mm, CN on a taper: 45 to 60 um before. A little turn leaves plenty, a long one too little.
        const auto little = figure_json(ring + "--take 0.01mm");
        CHECK(little["verdict"] == "inside");
        const auto far = figure_json(ring + "--take 0.06mm");
        CHECK(far["verdict"] == "outside");
        CHECK(figure(ring + "--take 0.06mm").out.find("do not turn so far") != std::string::npos);
        const auto middle = figure_json(ring + "--take 0.03mm");
        CHECK(middle["clearance_left_low_mm"].get<double>() < middle["least_left_mm"].get<double>());
        CHECK(middle["verdict"] != "inside");
        CHECK(middle["clearance_taken_u_mm"].get<double>() ==
              doctest::Approx(2 * std::hypot(0.075, 6.5 / 50) * 0.03).epsilon(1e-6));
    }

    TEST_CASE("growth and preload carry their doubt")
    {
        const auto growth =
            figure_json("expansion --span 1200mm --rise 45K --alpha 12e-6/K --float-total 1.4mm");
        CHECK(growth["growth_mm"].get<double>() == doctest::Approx(0.648));
        CHECK(growth["growth_u_mm"].get<double>() ==
              doctest::Approx(1200 * std::hypot(0.87e-6 * 45, 12e-6 * 5)).epsilon(1e-6));
        CHECK(growth["verdict"] == "undecided"); // 0.648 of 0.7 mm each way: not surely
        CHECK(figure_json("expansion --span 1200mm --rise 45K --alpha 12e-6/K --alpha-u 0.1e-6/K --rise-u 1K "
                          "--float-total 1.4mm")["verdict"] == "inside");
        const auto bolt = figure_json("bolt --size M16 --class 8.8 --lube oiled --bolts 4");
        CHECK(bolt["preload_low_kn"].get<double>() < 0.75 * bolt["preload_kn"].get<double>());
        CHECK(bolt["preload_high_kn"].get<double>() > 1.15 * bolt["preload_kn"].get<double>());
    }

    TEST_CASE("every zone of vibration is told in plain words")
    {
        for (const auto& [rms, words] :
             std::vector<std::pair<std::string, std::string>>{{"1mm/s", "new machine"},
                                                              {"2mm/s", "long running"},
                                                              {"4mm/s", "cause"},
                                                              {"9mm/s", "stop it"}})
            CHECK(figure("vibration --rms " + rms + " --group 2 --support rigid").out.find(words) !=
                  std::string::npos);
    }

    TEST_CASE("an option that is there but empty is refused with its name, never taken for a value")
    {
        using Words = std::vector<std::string>;
        for (const auto& [option, words] : std::vector<std::pair<std::string, Words>>{
                 {"--rms", {"vibration", "--rms", "", "--group", "2", "--support", "rigid"}},
                 {"--rms", {"vibration", "--rms", "  ", "--group", "2", "--support", "rigid"}},
                 {"--span", {"expansion", "--span", "", "--rise", "35K", "--alpha", "11.5um/m/K"}},
                 {"--slots", {"tab", "--slots", "", "--tangs", "17", "--turned", "90deg"}},
                 {"--temperature", {"viscosity", "--at", "40C=32", "--at", "100C=5.4", "--temperature", ""}},
                 {"--nominal", {"limits", "--nominal", "", "--class", "h9"}},
                 {"--kappa",
                  {"life", "--kind", "roller", "--c", "100kN", "--p", "10kN", "--speed", "600rpm", "--kappa",
                   ""}},
             }) {
            Words line = words;
            line.insert(line.begin(), "figure");
            const Said said = support::run(line);
            CAPTURE(option);
            CHECK(said.code == 2);
            CHECK(said.out == "");
            CHECK_MESSAGE(said.err.find("witnessmark: " + option + ": it is empty") == 0, said.err);
        }
    }

    TEST_CASE("a life under a load too light to move the rollers says so, in words and by key")
    {
        const std::string line = "life --kind roller --c 100kN --speed 600rpm --p ";
        CHECK(figure_json(line + "1.9kN")["warning"] == "load_too_light");
        CHECK(figure_json(line + "1.9kN")["least_load_kn"] == doctest::Approx(2).epsilon(1e-9));
        CHECK(figure(line + "1.9kN").out.find("slide and smear") != std::string::npos);
        CHECK_FALSE(figure_json(line + "2kN").contains("warning"));
    }

    TEST_CASE("a comma that may part thousands is refused with both readings, by every topic")
    {
        CHECK(figure("limits --nominal 3,000mm --class h9").err.find("can be 3000mm and 3.000mm") !=
              std::string::npos);
        CHECK(figure(kLife + " --viscosity 1,480mm2/s --dpw 100mm").err.find("1,480") != std::string::npos);
        CHECK(figure("life --kind roller --c 100kN --p 10kN --speed 1,480rpm")
                  .err.find("can be 1480rpm and 1.480rpm") != std::string::npos);
        CHECK(figure("life --kind roller --c 100kN --p 10kN --speed 1,480rpm").code == 2);
        CHECK(figure_json("life --kind roller --c 100kN --p 10kN --speed 980,5rpm")["l10h_h"] > 0);
    }

    TEST_CASE("wrong use and bad input end with 2 and one sentence, and print no figures")
    {
        for (const std::string line :
             {"viscosity --at 40C=32 --temperature 80C",
              "viscosity --at 40C=32 --at 100C=5.4",
              "viscosity --at 40C --at 100C=5.4 --temperature 80C",
              "viscosity --at 40=32 --at 100C=5.4 --temperature 80C",
              "viscosity --at 40C=nan --at 100C=5.4 --temperature 80C",
              "viscosity --at 40C=32 --at 100C=5.4 --temperature 80",
              "life --kind roller --c 100 --p 10kN --speed 600rpm",
              "life --kind cone --c 100kN --p 10kN --speed 600rpm",
              "life --kind roller --c 100kN --p 60kN --speed 600rpm",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --kappa 2",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --reliability 0.95",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --viscosity 30mm2/s",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --ec normal",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --dpw 100mm --ec filthy",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --p0 10kN",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --kappa 2 --ec 0.5 --c0 100kN",
              "life --kind roller --c 100kN --p 10kN --speed 600rpm --kappa 0.05 --ec 0.5 --cu 1kN",
              "vibration --rms 2.9 --group 2 --support rigid",
              "vibration --rms 2.9mm/s --group 3 --support rigid",
              "vibration --rms 2.9mm/s --group 2 --support soft",
              "vibration --rms 2.9mm/s",
              "frequencies --elements 9.5 --element 7.94mm --pitch 39mm --speed 60rpm",
              "frequencies --elements 9 --element 40mm --pitch 39mm --speed 60rpm",
              "frequencies --elements 9 --element 7.94mm --pitch 39mm --speed -60rpm"}) {
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
        for (const std::string topic : {"viscosity", "life", "vibration", "frequencies"}) {
            CAPTURE(topic);
            const Said said = figure(topic + " --help");
            CHECK(said.code == 0);
            CHECK(said.out.find("--json") != std::string::npos);
        }
    }
}
