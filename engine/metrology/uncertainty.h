#pragma once
// Uncertainty of a length by the GUM (JCGM 100): independent parts in quadrature (5.1.2), effective degrees
// of freedom by Welch-Satterthwaite (G.4.1), coverage by Student's t (G.3). Worked examples of the GUM (H.1)
// and of EA-4/02 (S10) come out as published, see tests/engine/metrology/uncertainty_test.cpp.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <span>
#include <string>
#include <vector>

namespace engine {

struct UncertaintyPart {
    std::string name;    ///< "error limit of the instrument"
    Micrometres u;       ///< standard uncertainty of the result from this part alone; 0..1e6
    double      dof = 0; ///< degrees of freedom, 1 or more; 0: unlimited (a limit, not a sample)
};

struct Combined {
    Micrometres u;        ///< standard
    double      dof = 0;  ///< effective; 0: unlimited
    double      k   = 0;  ///< coverage factor; dof is cut to a whole number for it (G.4.1)
    Micrometres expanded; ///< k u
};

/// Probability 0.5..0.999, two-sided. Fails: Fault::bad_input without parts, Fault::out_of_range.
[[nodiscard]] Result<Combined> combine(std::span<const UncertaintyPart> parts, double probability = 0.95);

/// Two-sided point of Student's t; dof 0: normal. dof 1..1e6, probability 0.5..0.999. Within 0.2 % from dof
/// 3, exact for 1 and 2. Source: Abramowitz & Stegun 26.7.5 and 26.2.23 (from memory; checked with scipy).
[[nodiscard]] Result<double> student_t(double dof, double probability);

/// k when two rectangular parts outweigh all others: the result is a trapezoid. beta: smaller half-width over
/// the larger, 0..1. Source: EA-4/02 S10 (from memory): (1 - sqrt((1-p)(1-beta^2))) / sqrt((1+beta^2)/6);
/// holds where the point lies on the slope: 1 - p < (1-beta)/(1+beta) or so; refused elsewhere.
[[nodiscard]] Result<double> trapezoid_coverage(double beta, double probability = 0.95);

/// What is known about reading a length on the shop floor. Half-widths are limits, taken rectangular (4.3.7).
struct LengthReading {
    Millimetres length;                   ///< 0.1..2000
    Micrometres error_limit{4};           ///< half-width; 0..1000; DIN 863-1: engine/metrology/instrument.h
    Micrometres resolution{1};            ///< one step; 0..1000
    Micrometres repeatability{0};         ///< standard deviation of one reading; 0..1000
    int         sample   = 2;             ///< readings the repeatability was found from, 2..1000
    int         readings = 1;             ///< readings averaged, 1..1000
    Celsius     part{20}, instrument{20}; ///< -60..150
    Kelvins     part_error{2}, instrument_error{2};             ///< half-widths; 0..20
    PerKelvin   part_alpha{11.5e-6}, instrument_alpha{11.5e-6}; ///< 0..50e-6; steel [NSK_E1102]
    PerKelvin   alpha_error{1e-6};                              ///< half-width of each; 0..10e-6
};

/// The parts in the order: error limit, resolution, repeatability, temperature of the part, temperature of
/// the instrument, expansion of the part, expansion of the instrument. Fails: Fault::out_of_range.
[[nodiscard]] Result<std::vector<UncertaintyPart>> length_parts(const LengthReading& reading);

} // namespace engine
