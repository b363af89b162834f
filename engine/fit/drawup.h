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
// 1:30 [TIMKEN_EM table 41 note 2]; 1 when `on_sleeve` is off. Other tapers have no published factor: give
// one (`sleeve_factor`), or the bore of the slit sleeve for its elastic share alone.
// Smoothing (off by default): of the interference bore/(bore+2) works on a ground shaft and bore/(bore+3) on
// a turned one, bore in mm; the constants are from memory, [NSK_E1102] bears out about 95 % for
// bores 30..150. Force and torque depend on friction more than on anything else: they come with the range of
// friction. The sheet of the maker is the authority; these figures cross-check it.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <optional>

namespace engine {

/// How the shaft under the ring is finished: what is pressed smooth takes no part in the fit.
enum class Smoothing { none, ground, turned };

struct Taper {
    Millimetres bore;             ///< small end of the tapered bore, 5..1000
    Millimetres raceway;          ///< of the inner ring, 1.02..3 times the bore
    double      taper = 12;       ///< 5..50: 1:taper on the diameter
    ThreadPitch pitch;            ///< of the nut, 0.2..12
    Millimetres shaft_bore;       ///< 0: solid
    Millimetres width;            ///< of the ring; 0: force and torque are not worked out; ..1000
    double      friction = 0.12;  ///< 0.02..0.5; 0.1 to 0.15 dry [MACHINECALC]
    Megapascals modulus{208'000}; ///< of the ring; bearing steel [NSK_E1102]
    bool        on_sleeve     = false;
    Smoothing   smoothing     = Smoothing::none;
    double      friction_low  = 0.08; ///< 0.02..0.5, range of the friction: oiled 0.05 to 0.08, dry 0.1 to
    double      friction_high = 0.15; ///< 0.15 [MACHINECALC]; not below friction_low
    Megapascals shaft_modulus;        ///< 0: that of the ring
    Millimetres sleeve_bore;          ///< 0: elastic share of a slit sleeve left out; engine/fit/ring.h
    double      sleeve_factor = 0; ///< travel on the sleeve over travel on a shaft, 1..1.5; 0: as published
};

struct DrawUp {
    Degrees                     angle; ///< of the nut from zero
    Millimetres                 travel;
    Millimetres                 interference;    ///< effective, diametral
    Millimetres                 growth;          ///< of the raceway diameter
    Millimetres                 clearance_taken; ///< radial internal clearance lost, on the diameter
    Megapascals                 pressure, hoop;
    std::optional<Kilonewtons>  axial_force, force_low, force_high; ///< at `friction` and at its ends
    std::optional<NewtonMetres> nut_torque, torque_low, torque_high;
    bool heavy = false; ///< interference above 0.0007 of the bore, the usual upper end [NSK_E1102] 9.1.2
};

/// Angle 0..1440 degrees. Fails: Fault::out_of_range with the range, Fault::bad_input for an unknown sleeve
/// factor.
[[nodiscard]] Result<DrawUp> draw_up_by_angle(const Taper& unit, Degrees angle);
/// Travel 0..30 mm (and within the same angle).
[[nodiscard]] Result<DrawUp> draw_up_by_travel(const Taper& unit, Millimetres travel);
/// The turn that takes so much clearance: 0..1 mm.
[[nodiscard]] Result<DrawUp> draw_up_by_clearance(const Taper& unit, Millimetres clearance_taken);

/// Standard uncertainty of the clearance taken as a share of it: what the published tables of six makers
/// differ from the thick ring by, travel for travel. sqrt(0.075^2 + (6.5 mm/bore)^2): twice it holds every
/// printed row of bores 24 to 500 mm (tests/reference/driveup_spherical_roller.csv); small bores differ more,
/// their reductions being printed to 5 um [NSK_E1102] [KOYO_203E] [NKE_2018] [SKF_2018]. Bore above 0.
[[nodiscard]] double model_share(Millimetres bore);

/// Torque factor K of a thread with friction: T = K F d. Collar friction at 0.625 d.
/// d 1..1000 mm, pitch 0.1..0.5 d, friction 0..0.5.
[[nodiscard]] Result<double> nut_factor(Millimetres thread, ThreadPitch pitch, double friction);

} // namespace engine
