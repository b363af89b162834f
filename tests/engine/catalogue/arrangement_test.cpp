// Which kind of pair a job is: the order of work hangs on it.
#include "engine/catalogue/catalogue.h"

#include <doctest/doctest.h>

#include "tests/engine/catalogue/sheets.h"

using namespace engine;
using namespace catalogue_test;

TEST_SUITE("engine/catalogue/arrangement")
{
    TEST_CASE("positions and mounts decide the kind of pair")
    {
        struct Row {
            const char*        why;
            std::vector<Place> places;
            Arrangement        wanted;
        };
        constexpr auto kLoose = Hold::expansion;
        for (const Row& row : {
                 Row{"one unit", {{"HELD"}}, Arrangement::single},
                 Row{"one expansion unit: the other end stays", {{"LOOSE", kLoose}}, Arrangement::single},
                 Row{"held and loose", {{"HELD"}, {"LOOSE", kLoose}}, Arrangement::fixed_and_expansion},
                 Row{"loose and held", {{"LOOSE", kLoose}, {"HELD"}}, Arrangement::fixed_and_expansion},
                 Row{"two held blocks", {{"HELD"}, {"HELD"}}, Arrangement::two_fixed_pillow_blocks},
                 Row{"float not used", {{"LOOSE"}, {"LOOSE"}}, Arrangement::two_fixed_pillow_blocks},
                 Row{"two flanges", {{"FLANGE"}, {"FLANGE"}}, Arrangement::two_flanges},
                 Row{"block and flange", {{"HELD"}, {"FLANGE"}}, Arrangement::line},
                 Row{"three", {{"LOOSE", kLoose}, {"HELD"}, {"LOOSE", kLoose}}, Arrangement::line},
             }) {
            CAPTURE(row.why);
            const auto kind = arrangement_of(line_of(row.places), plant());
            REQUIRE(kind);
            CHECK(*kind == row.wanted);
        }
    }

    TEST_CASE("a line that cannot be mounted is refused with job and position named")
    {
        struct Row {
            std::vector<Place> places;
            const char*        told;
        };
        constexpr auto kLoose = Hold::expansion;
        for (const Row& row : {
                 Row{{{"HELD"}, {"NOBODY"}}, "Job 7001, position B: unit 'NOBODY' is not in the catalogue"},
                 Row{{{"LOOSE", kLoose}, {"LOOSE", kLoose}}, "Job 7001, position A: every unit"},
                 Row{{{"HELD"}, {"HELD", kLoose}}, "Job 7001, position B: unit HELD has no float"},
                 Row{{{"FLANGE", kLoose}}, "Job 7001, position A: unit FLANGE has no float"},
                 Row{{}, "Job 7001 has no position"},
             }) {
            CAPTURE(row.told);
            const auto kind = arrangement_of(line_of(row.places), plant());
            REQUIRE_FALSE(kind);
            CHECK(kind.error().fault == Fault::bad_input);
            CHECK(kind.error().message.find(row.told) == 0);
        }
    }

    TEST_CASE("a thing that is not in the catalogue is told apart from one that is")
    {
        Catalogue known = plant();
        known.people.emplace("112", Person{"112", Role::fitter, ""});
        known.instruments.emplace("M-07", Instrument{});
        known.jobs.emplace("7001", line_of({{"HELD"}}));
        CHECK(known.unit("HELD")->code == "HELD");
        CHECK(known.unit("held") == nullptr);
        CHECK(known.person("112")->role == Role::fitter);
        CHECK(known.person("113") == nullptr);
        CHECK(known.instrument("M-07") != nullptr);
        CHECK(known.instrument("M-08") == nullptr);
        CHECK(known.job("7001")->positions.size() == 1);
        CHECK(known.job("7002") == nullptr);
    }

    TEST_CASE("roles and tools go to their names and back")
    {
        for (const Role role : {Role::fitter, Role::supervisor, Role::auditor, Role::planner})
            CHECK(*role_from(name_of(role)) == role);
        for (int i = 0; i <= static_cast<int>(Tool::vibration_meter); ++i) {
            const Tool tool = static_cast<Tool>(i);
            CHECK(*tool_from(name_of(tool)) == tool);
        }
        const auto wrong = role_from("boss");
        REQUIRE_FALSE(wrong);
        CHECK(wrong.error().message ==
              "'boss' is no role; give one of fitter, supervisor, auditor, planner.");
        CHECK_FALSE(tool_from("Micrometer"));
    }
}
