#pragma once
// A job is one shaft line: its positions, what is mounted there, and what the line will do when it runs.
#include "engine/base/quantity.h"
#include "engine/catalogue/unit_sheet.h"

#include <string>
#include <vector>

namespace engine {

enum class Hold { fixed, expansion }; ///< how a position holds the shaft axially (the role of the position)

struct Position {
    std::string letter;    ///< "A", "B", ... in the order along the shaft
    std::string unit_code; ///< key into the catalogue
    Hold        role = Hold::fixed;
    std::string serial; ///< serial number of the unit to be mounted; empty until read at the machine
    friend bool operator==(const Position&, const Position&) = default;
};

struct Job {
    std::string           number;                  ///< "2219", unique
    std::string           title;                   ///< "Lime dryer fan 4"
    std::string           asset;                   ///< asset tag, "LDF-04"
    std::vector<Position> positions;               ///< one or more, letters unique
    bool                  old_bearing_out = false; ///< starts with taking out the old one
    Millimetres           span;                    ///< distance between the outer positions; 0 for one unit
    Kelvins               rise;           ///< shaft over its mounting temperature when it runs, for growth
    PerKelvin             alpha{11.5e-6}; ///< of the shaft
    RevPerMinute          speed{0};       ///< 0: not given
    Hours                 run_in{4.0};
    std::string           due; ///< ISO date
    friend bool           operator==(const Job&, const Job&) = default;
};

/// The kind of pair, worked out from the positions and the mounts of their units.
enum class Arrangement { single, fixed_and_expansion, two_fixed_pillow_blocks, two_flanges, line };

} // namespace engine
