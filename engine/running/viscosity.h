#pragma once
// Kinematic viscosity of an oil, or of the base oil of a grease, at the running temperature (ASTM D341):
//   log10 log10(nu + 0.7) = A - B log10 T        nu in mm2/s, T in kelvins          [SCRIBD-D341]
// The straight line goes through two known points, usually the 40 and 100 C of the data sheet. The constant
// 0.7 holds from 2 mm2/s up; thinner answers are refused. Outside the two points the line is an extension:
// the answer says so.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

namespace engine {

using KinematicViscosity = Quantity<struct KinematicViscosityTag>; ///< mm2/s, the same number as cSt

struct ViscosityPoint {
    Celsius            at;        ///< -50..200
    KinematicViscosity viscosity; ///< 2..1 000 000
};

struct ViscosityFigures {
    KinematicViscosity viscosity;
    double             a = 0, b = 0;     ///< of the line, T in kelvins
    bool               extended = false; ///< asked for outside the two points
};

/// The points may come in either order, at least 5 K apart, the warmer one thinner. Wanted -50..200 C.
/// Fails: Fault::out_of_range, also when the answer leaves 2..1 000 000 mm2/s.
[[nodiscard]] Result<ViscosityFigures> viscosity_at(const ViscosityPoint& one, const ViscosityPoint& other,
                                                    Celsius wanted);

} // namespace engine
