// `witnessmark figure estimate FILE.json`: its keys, and every wrong file. The numbers are checked in
// tests/engine/fit and tests/scipy.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <fstream>

#include "tests/engine/fit/nut_render.h"
#include "tests/field/cli/said.h"
#include "tests/support/fake_camera.h"
#include "tests/support/temp_folder.h"

using nlohmann::json;

namespace {

json good()
{
    return json::parse(R"({
      "unit": {"bore": "100mm", "raceway": "125mm", "taper": 12, "pitch": "2mm", "width": "40mm"},
      "readings": {"angle": {"value": "135deg", "u": "2deg"},
                   "sleeve_travel": {"value": "0.75mm", "u": "0.05mm"},
                   "clearance_before": {"value": "0.090mm", "u": "0.004mm"},
                   "clearance_after": {"value": "40um", "u": "4um"}},
      "left": {"low": "0.02mm", "high": "0.06mm"}})");
}

support::Said estimate(const std::string& text, const std::string& more = "")
{
    const support::TempFolder folder;
    const std::string         file = (folder.path() / "readings.json").string();
    std::ofstream(file) << text;
    return support::say("figure estimate " + file + " " + more);
}

json answer_to(const json& file)
{
    const support::Said said = estimate(file.dump(), "--json");
    REQUIRE(said.code == 0);
    return json::parse(said.out);
}

} // namespace

TEST_SUITE("field/cli/figure estimate")
{
    TEST_CASE("it answers with its stable keys, in units of the key names")
    {
        const json answer = answer_to(good());
        for (const std::string key : {"travel_mm", "clearance_left_mm", "low_mm", "high_mm", "chi_square",
                                      "dof", "misfit", "verdict"})
            CHECK(answer.contains(key));
        CHECK(answer["travel_mm"] == doctest::Approx(0.75).epsilon(1e-6));
        CHECK(answer["clearance_left_mm"] == doctest::Approx(0.04).epsilon(1e-6));
        CHECK(answer["misfit"].is_null());
        CHECK(answer["verdict"] == "inside");
        const support::Said said = estimate(good().dump());
        CHECK(said.code == 0);
        CHECK(said.out.find("misfit: none") != std::string::npos);
    }

    TEST_CASE("the unit a reading is written in does not change the answer")
    {
        json inches                            = good();
        inches["readings"]["angle"]            = {{"value", "0.375turn"}, {"u", "2deg"}};
        inches["readings"]["clearance_before"] = {{"value", "90um"}, {"u", "4um"}};
        inches["unit"]["pitch"]                = "12.7tpi"; // 2 mm
        inches["unit"]["bore"]                 = "3.93700787in";
        CHECK(answer_to(inches)["clearance_left_mm"].get<double>() ==
              doctest::Approx(answer_to(good())["clearance_left_mm"].get<double>()).epsilon(1e-6));
    }

    TEST_CASE("limits are taken from the tables by group, and their source is told")
    {
        json by_group         = good();
        by_group["left"]      = {{"group", "CN"}};
        by_group["delivered"] = {{"group", "CN"}};
        by_group["readings"].erase("clearance_before");
        const json answer = answer_to(by_group);
        CHECK(answer["verdict"].is_string());
        CHECK(answer["notes"].dump().find("SKF_2018") != std::string::npos);
    }

    TEST_CASE("the reading that does not fit is named, with those it cannot be told from")
    {
        json bad                                  = good();
        bad["readings"]["sleeve_travel"]["value"] = "1.6mm";
        const json answer                         = answer_to(bad);
        CHECK(answer["misfit"] == "sleeve_travel");
        CHECK(answer["verdict"] == "undecided");
        json late                                    = good();
        late["readings"]["clearance_after"]["value"] = "0mm";
        const json suspects                          = answer_to(late);
        CHECK(suspects["misfit"] == "zero");
        CHECK(suspects["notes"].dump().find("clearance_after") != std::string::npos);
    }

    TEST_CASE("without limits there is no verdict, with a torque there is a width")
    {
        json plain = good();
        plain.erase("left");
        CHECK(answer_to(plain)["verdict"].is_null());
        plain["readings"]["nut_torque"] = {{"value", "700Nm"}, {"u", "50Nm"}};
        plain["friction"]               = {{"low", 0.05}, {"high", 0.15}};
        plain["zero"]                   = {{"value", "0deg"}, {"u", "3deg"}};
        plain["model_share"]            = 0.05;
        CHECK(answer_to(plain)["dof"] == 3);
    }

    TEST_CASE("every wrong file ends with 2 and one sentence naming the place")
    {
        const auto with = [](const char* pointer, const json& value) {
            json file                         = good();
            file[json::json_pointer(pointer)] = value;
            return file.dump();
        };
        for (const std::string& text : {std::string(),
                                        std::string("{"),
                                        std::string("[]"),
                                        std::string("{}"),
                                        std::string("nan"),
                                        with("/readings", json::array()),
                                        with("/unit", 3),
                                        with("/unit/bore", 100),
                                        with("/unit/bore", "100"),
                                        with("/unit/bore", "nanmm"),
                                        with("/unit/on_sleeve", "yes"),
                                        with("/unit/taper", "12"),
                                        with("/unit/colour", "red"),
                                        with("/readings/angle", "135deg"),
                                        with("/readings/angle", {{"value", "135deg"}}),
                                        with("/readings/angle/value", "1e99deg"),
                                        with("/readings/angle/value", "-20deg"),
                                        with("/readings/angle/u", "0deg"),
                                        with("/readings/angels", json::object()),
                                        with("/left", {{"group", 3}}),
                                        with("/left", {{"group", "C9"}}),
                                        with("/left", {{"low", "1mm"}, {"high", "0.5mm"}}),
                                        with("/delivered", {{"low", "1mm"}}),
                                        with("/delivered", {{"group", "C9"}}),
                                        with("/friction", {{"low", 0.3}}),
                                        with("/model_share", 9),
                                        with("/readings/nut_torque", {{"value", "40Nm"}, {"u", "40mm"}})}) {
            CAPTURE(text);
            const support::Said said = estimate(text);
            CHECK(said.code == 2);
            CHECK(said.out.empty());
            CHECK(said.err.find("witnessmark: ") == 0);
            CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
        }
        CHECK(support::say("figure estimate no_such_file.json").code == 2);
        CHECK(support::say("figure estimate").code == 2);
        CHECK(estimate(std::string(1U << 21U, ' ')).code == 2);
    }

    TEST_CASE("it explains its file")
    {
        const support::Said said = support::say("figure estimate --help");
        CHECK(said.code == 0);
        CHECK(said.out.find("clearance_before") != std::string::npos);
        CHECK(said.out.find("--json") != std::string::npos);
    }

    TEST_CASE("drawing up tells the ranges of friction, other shafts and the tables by group")
    {
        const std::string ring =
            "figure drawup --bore 100mm --raceway 125mm --pitch 2mm --angle 135deg --width 40mm --json ";
        const auto asked = [&](const std::string& more) {
            const support::Said said = support::say(ring + more);
            REQUIRE(said.code == 0);
            return json::parse(said.out);
        };
        const json plain = asked("");
        CHECK(plain["nut_torque_low_nm"] < plain["nut_torque_nm"]);
        CHECK(plain["nut_torque_nm"] < plain["nut_torque_high_nm"]);
        CHECK(asked("--shaft-modulus 98GPa")["growth_mm"] < plain["growth_mm"]);
        CHECK(asked("--sleeve-bore 90mm")["growth_mm"] < plain["growth_mm"]);
        CHECK(asked("--turned")["growth_mm"] < asked("--smoothing")["growth_mm"]);
        CHECK(asked("--sleeve-factor 1.2 --taper 16")["growth_mm"] < asked("--taper 16")["growth_mm"]);
        CHECK(asked("--group C3").contains("least_left_mm"));
        CHECK_FALSE(asked("--group C5").contains("least_left_mm"));
        CHECK(support::say(ring + "--group C9").code == 2);
    }

    TEST_CASE("a photo of the nut gives its angle, the edge tapped or found by the program")
    {
        support::NutScene scene;
        scene.tilt_deg = 30, scene.heading_deg = 60, scene.angle_deg = 95;
        const support::NutRenderer camera(scene);
        const auto                 picture = camera.picture();
        const support::TempFolder  folder;
        const std::string          file = (folder.path() / "nut.pgm").string();
        {
            std::ofstream out(file, std::ios::binary);
            out << "P5\n" << picture.width << ' ' << picture.height << "\n255\n";
            for (const std::uint8_t pixel : picture.pixels)
                out.put(static_cast<char>(pixel));
        }
        const auto at = [](const engine::Pixel& p) {
            return std::to_string(p.x) + "," + std::to_string(p.y);
        };
        const std::string marks = "figure nut-photo " + file + " --shaft-mark " + at(picture.shaft_mark) +
                                  " --nut-mark " + at(picture.nut_mark);
        const std::string centre = " --centre " + at(picture.centre);
        const auto        asked  = [&](const std::string& line) {
            const support::Said said = support::say(line + " --json");
            CAPTURE(said.err);
            REQUIRE(said.code == 0);
            return json::parse(said.out);
        };
        const json found = asked(marks + centre);
        CHECK(found["angle_deg"].get<double>() == doctest::Approx(95).epsilon(0.02));
        CHECK(found["tilt_deg"].get<double>() == doctest::Approx(30).epsilon(0.1));
        CHECK(found["u_deg"].get<double>() > 0);
        std::string edge = " --edge";
        for (int i = 0; i < 8; ++i)
            edge += " " + at(camera.project(std::cos(0.8 * i), std::sin(0.8 * i)));
        CHECK(asked(marks + centre + edge)["angle_deg"].get<double>() == doctest::Approx(95).epsilon(1e-3));
        // A camera's JPEG says the same, to what its compression blurs.
        const std::string taken = (folder.path() / "nut.jpg").string();
        const auto        jpeg  = support::grey_jpeg(picture.pixels, picture.width, picture.height);
        std::ofstream(taken, std::ios::binary)
            .write(reinterpret_cast<const char*>(jpeg.data()), static_cast<std::streamsize>(jpeg.size()));
        std::string of_jpeg = marks + centre;
        of_jpeg.replace(of_jpeg.find(file), file.size(), taken);
        CHECK(asked(of_jpeg)["angle_deg"].get<double>() == doctest::Approx(95).epsilon(0.02));
        // Close up and at a slant, without the centre: the program says how little that is worth.
        CHECK(asked(marks + edge)["u_deg"].get<double>() >
              asked(marks + centre + edge)["u_deg"].get<double>());
        CHECK(support::say(marks).out.find("--centre") != std::string::npos);
        for (const std::string& wrong :
             {marks + " --edge 1,2 3,4", marks + " --centre 5", marks + " --centre 5,", marks + " --u-tap -3",
              "figure nut-photo " + file,
              std::string("figure nut-photo no_such.jpg --shaft-mark 1,1 --nut-mark 2,2"),
              std::string("figure nut-photo ") + WM_SOURCE_DIR +
                  "/README.md --shaft-mark 1,1 --nut-mark 2,2"}) {
            CAPTURE(wrong);
            CHECK(support::say(wrong).code == 2);
        }
    }
}
