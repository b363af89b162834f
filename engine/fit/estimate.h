#pragma once
// How far the ring really went up, from everything that was read about it at once.
//
// Unknowns                                      what holds them
//   s   travel from true zero, mm               the readings
//   c0  clearance before, mm                    reading before, or the limits as delivered
//   z   zero error, degrees: by how much the    `zero`, about 0 (common practice)
//       nut was turned when zero was marked;
//       positive = zero was taken late
//   m   how the real ring differs from the      `model_share`, about 0
//       thick-ring model, as a share
//   f   how friction differs, as a share        the friction range of the unit, about 0
// Readings
//   angle, nut_photo  = 360 s / pitch - z
//   sleeve_travel     = s - pitch z / 360       thread showing at the mark of zero and now
//   clearance_before  = c0
//   clearance_after   = c0 - (1 + m) r s        r: clearance taken per mm of travel, engine/fit/drawup.h
//   nut_torque        = (1 + f) q s             q: torque per mm of travel, engine/fit/drawup.h
//
// Weighted least squares (each reading over its standard uncertainty, the held unknowns as readings of their
// own), Gauss-Newton because of the products m s and f s; intervals from the inverse normal matrix, k = 1.96.
// Source of the method: GUM (JCGM 100) H.2 and ISO/IEC Guide 98-3; the model is common mechanics, see the
// headers named above.
//
// Consistency: the weighted sum of squares against the 95 % point of chi-square. A reading that does not fit
// is named by its normalised residual w = residual / (u sqrt(1 - leverage)), whose square is what the sum
// falls by when that reading is left out (Baarda's data snooping, from memory). Named when the sum is above
// its 95 % point or |w| is above 3.29 (0.1 %). Readings that explain the misfit equally well cannot be told
// apart; they are all listed and the first of zero, clearance_after, clearance_before, nut_torque,
// sleeve_travel, nut_photo, angle is the one named (what usually goes wrong first: common practice).
// When readings do not fit each other the interval is widened by sqrt(chi-square / dof), and the verdict is
// never `inside`.
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/fit/drawup.h"
#include "engine/metrology/verdict.h"

#include <optional>
#include <string_view>
#include <vector>

namespace engine {

/// A reading with its standard uncertainty (k = 1).
template <class Unit> struct Read {
    Unit value;
    Unit u;
};

inline constexpr double kModelShare = 0.075; ///< standard; published travel per clearance at 1:12 runs from
                                             ///< 13.3 to 16 about 15 [KOYO_203E] [NSK_E1102]
inline constexpr Degrees kZeroError{2.5};    ///< standard; zero by hand within 5 degrees: common practice

struct FitReadings {
    std::optional<Read<Degrees>> angle; ///< of the nut from the mark of zero, 0..1440; u 0.01..180
    /// Angle between the marks on a photo, 0..1440, u 0.01..180. Whole turns a photo cannot show are taken
    /// from `angle`.
    std::optional<Read<Degrees>>      nut_photo;
    std::optional<Read<Millimetres>>  sleeve_travel;    ///< 0..30; u 0.001..10
    std::optional<Read<Millimetres>>  clearance_before; ///< feelers, 0..2; u 0.0005..1
    std::optional<Read<Millimetres>>  clearance_after;  ///< feelers, 0..2; u 0.0005..1
    std::optional<Read<NewtonMetres>> nut_torque;       ///< 0..200 000; u 0.01..100 000; wants Taper::width
    /// Limits of the clearance as delivered, used when it was not read before (rectangular, GUM 4.3.7).
    std::optional<Millimetres> delivered_low, delivered_high;
    Read<Degrees>              zero{Degrees{0}, kZeroError}; ///< -360..360; u 0.01..180
    double                     model_share   = kModelShare;  ///< standard, 0.001..0.5
    double                     friction_low  = 0.08;         ///< 0.02..0.5; oiled: 0.05 to 0.08, dry: 0.1 to
    double                     friction_high = 0.15;         ///< 0.15 [MACHINECALC]; above friction_low
    std::optional<Millimetres> left_low, left_high;          ///< what must be left: for the verdict
};

struct FitResidual {
    std::string_view name; ///< "angle", "zero", ...
    /// Reading less what the estimate says, over the uncertainty of just that; 0 when nothing else speaks of
    /// the same thing, so that it cannot be checked.
    double normalised = 0;
};

struct FitEstimate {
    Millimetres                   travel, u_travel; ///< from true zero; standard uncertainty
    Degrees                       zero_error, u_zero_error;
    Millimetres                   clearance_taken;
    Millimetres                   clearance_left, u_clearance_left;
    Millimetres                   low, high; ///< 95 % interval of the clearance left
    double                        chi_square = 0;
    int                           dof        = 0;    ///< 0: nothing to check against
    double                        chi_limit  = 0;    ///< 95 % point for this dof; 0 when dof is 0
    bool                          consistent = true; ///< chi_square <= chi_limit
    std::vector<FitResidual>      residuals;
    std::string_view              misfit;  ///< the reading that does not fit; empty when all fit
    std::vector<std::string_view> or_else; ///< others that explain it equally well
    std::optional<Verdict>        verdict; ///< of the clearance left; none without limits
};

/// Fails: Fault::out_of_range with the range; Fault::bad_input when the readings do not speak of both travel
/// and clearance, when a torque comes without the width of the ring, or when limits are the wrong way round.
/// The unit's `friction` is not used; the range here is. Under 0.1 ms.
[[nodiscard]] Result<FitEstimate> estimate_fit(const Taper& unit, const FitReadings& readings);

} // namespace engine
