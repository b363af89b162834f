#pragma once
// The shaft seat under the sleeve, from diameters read in several planes and directions.
//
// Conventions:
//  - every reading is brought to 20 degrees C: L20 = L (1 - alpha (t_part - 20)), with the micrometer's own
//    frame taken the same way (ISO 1 [ISO1-2016-PAPER]);
//  - size is judged on every single diameter (two-point size), not on the mean;
//  - out-of-round is the largest difference of diameters within one plane;
//  - taper is the largest difference between the means of planes;
//  - form is judged as cylindricity: HALF of (largest - smallest of all diameters) against the form limit,
//    because the limit is a zone on the radius and a two-point diameter sees it twice [NKE_2018]. A
//    two-point reading does not see an odd number of lobes.
//  - form is never "inside" with less than two planes of two directions each: the rest was not looked at.
#include "engine/metrology/limits.h"
#include "engine/metrology/verdict.h"

#include <span>
#include <string>
#include <vector>

namespace engine {

struct SeatReading {
    std::string plane;     ///< "I", "II", ...
    std::string direction; ///< "across", "up", ...
    Millimetres diameter;  ///< as read, within 10 % of the nominal size
};

struct SeatSpec {
    Millimetres  nominal;
    ClassLimits  size;
    FormLimit    form;
    DecisionRule rule = DecisionRule::k2;
};

/// How the readings were taken. Defaults are common practice for a shop floor.
struct SeatConditions {
    Celsius     part{20};               ///< -30..120
    Celsius     instrument{20};         ///< the micrometer itself; -30..60
    Kelvins     temperature_error{2.0}; ///< half-width; 0..20
    PerKelvin   alpha{11.5e-6};         ///< shaft steel, between 11.3 and 11.6 [NSK_E1102]; 5e-6..30e-6
    PerKelvin   alpha_error{1.0e-6};    ///< half-width
    Micrometres error_limit{4};         ///< of the micrometer; 0..100
    Micrometres resolution{1};          ///< 0..100
    Micrometres repeatability{0};       ///< standard deviation of one reading; 0..100
};

/// One plane across the axis. Terms of ISO 1132-1 and ISO 492, used there for the rings: mean diameter in a
/// single plane, variation of the diameter in it.
struct SeatPlane {
    std::string name;
    Millimetres mean, variation;
    int         readings = 0;
};

struct SeatFigures {
    Millimetres            mean_20c;            ///< of all diameters
    Millimetres            smallest, largest;   ///< single diameters at 20 degrees C
    Micrometres            u_mean;              ///< standard uncertainty of the mean
    Micrometres            expanded_u_reading;  ///< k = 2, of a single diameter
    Millimetres            out_of_round, taper; ///< on the diameter
    Micrometres            form_deviation;      ///< on the radius
    Micrometres            expanded_u_form;     ///< k = 2
    std::vector<SeatPlane> planes;              ///< by name; `taper` is the variation of their means
    Verdict                size_verdict = Verdict::undecided;
    Verdict                form_verdict = Verdict::undecided;
};

/// L20 of a length read at the given temperatures.
[[nodiscard]] Millimetres at_20c(Millimetres read, const SeatConditions& conditions);

/// Fails: Fault::bad_input (no reading, the same place twice, a place without a name), Fault::out_of_range.
[[nodiscard]] Result<SeatFigures> evaluate_seat(const SeatSpec& spec, std::span<const SeatReading> readings,
                                                const SeatConditions& conditions);

} // namespace engine
