#pragma once
// The maker's sheet of a unit: bearing + housing + adapter sleeve, as the planner typed it in. The sheet is
// the authority of every limit; the engine's own figures only cross-check it.
#include "engine/base/quantity.h"

#include <optional>
#include <string>
#include <vector>

namespace engine {

enum class Mount { pillow_block, flange };

struct LengthLimits {
    Millimetres low, high; ///< low <= high
    friend bool operator==(const LengthLimits&, const LengthLimits&) = default;
};

struct UnitSheet {
    std::string code; ///< plant's own unit code, unique
    std::string
          revision; ///< revision of the sheet; readings name code and revision as source of their limits
    Mount mount         = Mount::pillow_block;
    bool  split_housing = false;    ///< cap and base are a pair
    Millimetres shaft;              ///< nominal seat diameter (sleeve bore)
    Millimetres bearing_bore;       ///< small end of the tapered bore, d
    Millimetres raceway;            ///< inner-ring raceway diameter, Di > bearing_bore
    Millimetres seat_width;         ///< axial length of the seat under the sleeve
    double      taper = 12.0;       ///< 12 means 1:12 on diameter
    ThreadPitch pitch;              ///< nut thread
    int         slots = 4;          ///< slots of the nut
    int         tangs = 13;         ///< tangs of the lock washer
    Degrees     turn_min, turn_max; ///< nut turn from zero
    std::string seat_class;         ///< ISO 286 class of the shaft seat, "h9"
    std::string seat_form;          ///< limit of form, "IT5/2"
    std::string clearance_group;    ///< "CN", "C3", ...
    std::optional<LengthLimits>
        clearance_before; ///< radial internal clearance as delivered; absent: feelers do not reach
    std::optional<LengthLimits> clearance_after; ///< what must be left
    std::optional<Millimetres>  shim;            ///< flange units: thickness under the second flange
    std::optional<Millimetres>
                 float_total; ///< units that can be expansion units: axial room of the cartridge
    int          bolts = 2;   ///< mounting bolts
    std::string  bolt_size;   ///< "M16", "5/8-11"
    std::string  bolt_class;  ///< "8.8", "grade5"
    NewtonMetres bolt_torque; ///< final torque of the sheet
    std::optional<NewtonMetres> cap_torque; ///< split housings
    Degrees                     misalignment_max{2.0};
    Grams                       grease;       ///< first fill
    Celsius                     run_in_limit; ///< stop above it
    Kelvins                     run_in_rise;  ///< most rise over the surrounding air
    std::vector<std::string>    asks;         ///< optional readings the sheet wants: "clearance_before",
                                              ///< "clearance_after", "sleeve_travel", "nut_torque"

    [[nodiscard]] bool asks_for(std::string_view reading) const;
    friend bool        operator==(const UnitSheet&, const UnitSheet&) = default;
};

} // namespace engine
