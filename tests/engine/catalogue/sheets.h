#pragma once
// Small sheets and jobs for the tests of the catalogue.
#include "engine/catalogue/catalogue.h"

#include <string>
#include <vector>

namespace catalogue_test {

inline engine::UnitSheet sheet(std::string code, engine::Mount mount, bool has_float)
{
    engine::UnitSheet unit;
    unit.code  = std::move(code);
    unit.mount = mount;
    if (has_float) unit.float_total = engine::Millimetres{6.0};
    return unit;
}

inline engine::Catalogue plant()
{
    using engine::Mount;
    engine::Catalogue known;
    for (const auto& unit :
         {sheet("HELD", Mount::pillow_block, false), sheet("LOOSE", Mount::pillow_block, true),
          sheet("FLANGE", Mount::flange, false)})
        known.units.emplace(unit.code, unit);
    return known;
}

struct Place {
    const char*  unit = "";
    engine::Hold role = engine::Hold::fixed;
};

inline engine::Job line_of(const std::vector<Place>& places)
{
    engine::Job job;
    job.number  = "7001";
    char letter = 'A';
    for (const Place& place : places)
        job.positions.push_back({std::string(1, letter++), place.unit, place.role, {}});
    return job;
}

} // namespace catalogue_test
