// The invented scenario is whole: its files import, belong together, and obey the mechanics of the fit.
#include "engine/base/files.h"
#include "engine/catalogue/import.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>

using namespace engine;

namespace {

CsvTable demo(const char* name)
{
    auto table = read_csv(assets_folder() / "demo" / name);
    REQUIRE(table);
    return *std::move(table);
}

template <class T> std::vector<T> all_of(Imported<T> taken)
{
    for (const ImportFault& fault : taken.faults)
        FAIL_CHECK(sentence(fault));
    REQUIRE_FALSE(taken.items.empty());
    return std::move(taken.items);
}

Catalogue demo_plant()
{
    Catalogue known;
    for (UnitSheet& unit : all_of(import_units(demo("units.csv"))))
        known.units.emplace(unit.code, std::move(unit));
    for (Job& job : all_of(import_jobs(demo("jobs.csv"), known)))
        known.jobs.emplace(job.number, std::move(job));
    return known;
}

/// Clearance the turn takes: travel over the taper, times bore over raceway (solid steel shaft; thick-ring
/// theory, reference NSK_E1102 table 15.1).
double taken_mm(const UnitSheet& unit, Degrees turn)
{
    const Millimetres travel = to_turns(turn) * unit.pitch;
    return travel.value / unit.taper * (unit.bearing_bore / unit.raceway);
}

} // namespace

TEST_SUITE("engine/catalogue/demo")
{
    TEST_CASE("every demo file says in its first line that it is invented")
    {
        for (const char* name : {"units.csv", "people.csv", "instruments.csv", "jobs.csv"}) {
            CAPTURE(name);
            std::ifstream in(assets_folder() / "demo" / name);
            std::string   first;
            std::getline(in, first);
            CHECK(first == "# Invented demonstration data. Nothing here is a real product, person or plant; "
                           "never use it as engineering data.");
        }
    }

    TEST_CASE("the demo jobs show every kind of pair")
    {
        const Catalogue          known = demo_plant();
        std::vector<Arrangement> kinds;
        for (const auto& [number, job] : known.jobs) {
            const std::string& which = number; // a lambda of clang 14 holds no structured binding
            CAPTURE(which);
            const auto kind = arrangement_of(job, known);
            REQUIRE(kind);
            kinds.push_back(*kind);
        }
        for (const Arrangement kind :
             {Arrangement::single, Arrangement::fixed_and_expansion, Arrangement::two_fixed_pillow_blocks,
              Arrangement::two_flanges, Arrangement::line})
            CHECK(std::ranges::count(kinds, kind) >= 1);
        CHECK(*arrangement_of(*known.job("2219"), known) == Arrangement::fixed_and_expansion);
        CHECK(*arrangement_of(*known.job("2224"), known) == Arrangement::two_flanges);
        CHECK(*arrangement_of(*known.job("2231"), known) == Arrangement::two_fixed_pillow_blocks);
    }

    TEST_CASE("a demo fit inside the turn window leaves what its sheet wants")
    {
        for (const auto& [code, unit] : demo_plant().units) {
            const std::string& which = code;
            CAPTURE(which);
            CHECK(unit.bearing_bore / unit.raceway == doctest::Approx(0.8).epsilon(0.03));
            // Within what handbooks let a ring of 40 to 80 mm bore take:
            // reference/driveup_spherical_roller.csv, from 0.020 mm (SKF_2018, 40 to 50 mm) to 0.050 mm
            // (NKE_2018, 65 to 80 mm).
            CHECK(taken_mm(unit, unit.turn_min) > 0.020);
            CHECK(taken_mm(unit, unit.turn_max) < 0.050);
            if (!unit.clearance_before || !unit.clearance_after) continue;
            CHECK(unit.clearance_before->low.value - taken_mm(unit, unit.turn_max) >=
                  unit.clearance_after->low.value);
            CHECK(unit.clearance_before->high.value - taken_mm(unit, unit.turn_min) <=
                  unit.clearance_after->high.value);
        }
    }

    TEST_CASE("a demo shim is as thick as the turning makes the ring travel, tab allowance included")
    {
        for (const auto& [code, unit] : demo_plant().units) {
            if (!unit.shim) continue;
            const std::string& which = code;
            CAPTURE(which);
            const Degrees tab{360.0 / (unit.slots * unit.tangs)};
            CHECK(unit.shim->value >= (to_turns(unit.turn_min) * unit.pitch).value);
            CHECK(unit.shim->value <= (to_turns(unit.turn_max + tab) * unit.pitch).value);
        }
    }

    TEST_CASE(
        "every seat of the demo has a micrometer in calibration, and one instrument is overdue on purpose")
    {
        constexpr const char* kDay        = "2026-11-25";
        const auto            instruments = all_of(import_instruments(demo("instruments.csv")));
        for (const auto& [code, unit] : demo_plant().units) {
            const std::string& which = code;
            CAPTURE(which);
            CHECK(std::ranges::any_of(instruments, [&, shaft = unit.shaft.value](const Instrument& tool) {
                return tool.tool == Tool::micrometer && tool.unit == UnitOf::mm && tool.low <= shaft - 0.1 &&
                       tool.high >= shaft && tool.calibration_due > kDay;
            }));
        }
        CHECK(std::ranges::count_if(
                  instruments, [&](const Instrument& tool) { return tool.calibration_due < kDay; }) == 1);
    }

    TEST_CASE("the demo people are the fitters, the supervisor, the auditor and the planner")
    {
        const auto people =
            all_of(import_people(demo("people.csv"), [](std::string_view) -> Result<std::string> {
                return std::string("sealed");
            }));
        const auto role_of = [&](const char* badge) {
            const auto found = std::ranges::find(people, badge, &Person::badge);
            REQUIRE(found != people.end());
            CHECK(found->pin_check == "sealed");
            return found->role;
        };
        CHECK(role_of("112") == Role::fitter);
        CHECK(role_of("118") == Role::fitter);
        CHECK(role_of("205") == Role::supervisor);
        CHECK(role_of("301") == Role::auditor);
        CHECK(role_of("401") == Role::planner);
        CHECK(people.size() == 5);
    }
}
