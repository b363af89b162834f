#pragma once
// A small invented plant for tests of the procedure: a few sheets, people and instruments, and jobs on them.
// Its numbers are inputs, never check values.
#include "engine/procedure/plan.h"

#include <initializer_list>
#include <stdexcept>
#include <string>

namespace support {

inline engine::UnitSheet sheet(const std::string& code, engine::Mount mount)
{
    using namespace engine;
    UnitSheet unit;
    unit.code            = code;
    unit.revision        = "3";
    unit.mount           = mount;
    unit.shaft           = Millimetres{50.0};
    unit.bearing_bore    = Millimetres{55.0};
    unit.raceway         = Millimetres{69.0};
    unit.seat_width      = Millimetres{60.0};
    unit.pitch           = ThreadPitch{2.0};
    unit.turn_min        = Degrees{90.0};
    unit.turn_max        = Degrees{135.0};
    unit.seat_class      = "h9";
    unit.seat_form       = "IT5/2";
    unit.clearance_group = "C3";
    unit.bolts           = mount == Mount::flange ? 4 : 2;
    unit.bolt_size       = "M16";
    unit.bolt_class      = "8.8";
    unit.bolt_torque     = NewtonMetres{200.0};
    unit.grease          = Grams{30.0};
    unit.run_in_limit    = Celsius{90.0};
    unit.run_in_rise     = Kelvins{50.0};
    if (mount == Mount::flange) unit.shim = Millimetres{0.7};
    return unit;
}

inline engine::Catalogue plant()
{
    using namespace engine;
    Catalogue  catalogue;
    const auto add = [&](const UnitSheet& unit) { catalogue.units[unit.code] = unit; };
    add(sheet("BLOCK", Mount::pillow_block));
    add(sheet("FLANGE", Mount::flange));
    UnitSheet full        = sheet("FULL", Mount::pillow_block); // everything a sheet can ask for
    full.float_total      = Millimetres{4.0};
    full.split_housing    = true;
    full.cap_torque       = NewtonMetres{100.0};
    full.clearance_before = LengthLimits{Millimetres{0.040}, Millimetres{0.055}};
    full.clearance_after  = LengthLimits{Millimetres{0.015}, Millimetres{0.055}};
    full.asks             = {"clearance_before", "clearance_after", "sleeve_travel", "nut_torque"};
    add(full);
    for (const auto& [badge, role] :
         {std::pair{"F-11", Role::fitter}, std::pair{"F-12", Role::fitter},
          std::pair{"S-21", Role::supervisor}, std::pair{"S-22", Role::supervisor},
          std::pair{"P-31", Role::planner}, std::pair{"A-41", Role::auditor}})
        catalogue.people[badge] = Person{badge, role, ""};
    const auto tool = [&](const std::string& tag, Tool kind, UnitOf unit, double low, double high) {
        catalogue.instruments[tag] = Instrument{tag, kind, unit, low, high, 0.001, 0.002, "2027-03-31"};
    };
    tool("M-07", Tool::micrometer, UnitOf::mm, 25, 50);
    tool("M-08", Tool::micrometer, UnitOf::mm, 0, 25);
    tool("M-09", Tool::micrometer, UnitOf::mm, 50, 75);
    tool("T-01", Tool::thermometer, UnitOf::celsius, -20, 150);
    tool("W-01", Tool::torque_wrench, UnitOf::newton_metre, 20, 300);
    tool("G-01", Tool::feeler, UnitOf::mm, 0.01, 1);
    tool("C-01", Tool::caliper, UnitOf::mm, 0, 150);
    tool("R-01", Tool::rule, UnitOf::mm, 0, 1000);
    tool("GG-1", Tool::grease_gun, UnitOf::gram, 0, 1000);
    tool("V-01", Tool::vibration_meter, UnitOf::mm_per_s, 0, 50);
    return catalogue;
}

struct Place {
    std::string  unit;
    engine::Hold role = engine::Hold::fixed;
};

/// Positions A, B, C ... in the order given.
inline engine::Job job_of(std::initializer_list<Place> places)
{
    engine::Job job;
    job.number  = "7001";
    job.title   = "Test line";
    job.asset   = "TL-01";
    job.span    = engine::Millimetres{places.size() > 1 ? 1200.0 : 0.0};
    job.run_in  = engine::Hours{0.5};
    char letter = 'A';
    for (const Place& place : places)
        job.positions.push_back({std::string(1, letter++), place.unit, place.role, ""});
    return job;
}

inline const engine::Procedure& procedure()
{
    static const engine::Procedure loaded = [] {
        auto read = engine::load_procedure(std::filesystem::path(WM_SOURCE_DIR) / "assets" / "procedure");
        if (!read) throw std::runtime_error(read.error().message);
        return *std::move(read);
    }();
    return loaded;
}

inline engine::Plan plan_of(const engine::Job& job)
{
    auto plan = engine::build_plan(job, plant(), procedure());
    if (!plan) throw std::runtime_error(plan.error().message);
    return *std::move(plan);
}

} // namespace support
