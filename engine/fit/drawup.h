#pragma once
// Drawing the ring up the taper, from true zero (metal to metal everywhere, nothing stretched yet):
//   travel        = pitch x angle / 360                              single-start thread
//   interference  = travel / (taper x sleeve factor)                 taper 12 means 1:12 on the diameter
//   clearance taken = raceway growth (engine/fit/ring.h)
//   axial force   = pressure x pi x bore x width x (friction + tan of the half angle)
//   nut torque    = force x thread diameter x nut factor of Shigley's friction form, 30 degrees half thread
//                   angle, collar at 1.25 thread diameters [SHIG9-T8-15]; thread diameter = bore
//                   (metric lock nuts, [SKF_2018])
// Sleeve factor: on an adapter sleeve the travel is longer than on a tapered shaft, 1.1 at 1:12 and 1.05 at
// 1:30 [TIMKEN_EM table 41 note 2]; 1 when `on_sleeve` is off; other tapers have no published factor.
// Smoothing (off by default): effective = bore/(bore+2) of the interference, bore in mm; the constant is from
// memory, [NSK_E1102] bears out about 95 %.
// The sheet of the maker is the authority; these figures cross-check it.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <optional>

namespace engine {

struct Taper {
    Millimetres bore;             ///< small end of the tapered bore, 5..1000
    Millimetres raceway;          ///< of the inner ring, 1.02..3 times the bore
    double      taper = 12;       ///< 5..50: 1:taper on the diameter
    ThreadPitch pitch;            ///< of the nut, 0.2..12
    Millimetres shaft_bore;       ///< 0: solid
    Millimetres width;            ///< of the ring; 0: force and torque are not worked out; ..1000
    double      friction = 0.12;  ///< 0.02..0.5; 0.1 to 0.15 dry [MACHINECALC]
    Megapascals modulus{208'000}; ///< bearing steel [NSK_E1102]
    bool        on_sleeve = false;
    bool        smoothing = false;
};

struct DrawUp {
    Degrees                     angle; ///< of the nut from zero
    Millimetres                 travel;
    Millimetres                 interference;    ///< effective, diametral
    Millimetres                 growth;          ///< of the raceway diameter
    Millimetres                 clearance_taken; ///< radial internal clearance lost, on the diameter
    Megapascals                 pressure, hoop;
    std::optional<Kilonewtons>  axial_force;
    std::optional<NewtonMetres> nut_torque;
    bool heavy = false; ///< interference above 0.0007 of the bore, the usual upper end [NSK_E1102] 9.1.2
};

/// Angle 0..1440 degrees. Fails: Fault::out_of_range with the range, Fault::bad_input for an unknown sleeve
/// factor.
[[nodiscard]] Result<DrawUp> draw_up_by_angle(const Taper& unit, Degrees angle);
/// Travel 0..30 mm (and within the same angle).
[[nodiscard]] Result<DrawUp> draw_up_by_travel(const Taper& unit, Millimetres travel);
/// The turn that takes so much clearance: 0..1 mm.
[[nodiscard]] Result<DrawUp> draw_up_by_clearance(const Taper& unit, Millimetres clearance_taken);

/// Torque factor K of a thread with friction: T = K F d. Collar friction at 0.625 d.
/// d 1..1000 mm, pitch 0.1..0.5 d, friction 0..0.5.
[[nodiscard]] Result<double> nut_factor(Millimetres thread, ThreadPitch pitch, double friction);

} // namespace engine
