#pragma once
// Bolting down: preload, torque, order and passes.
//   preload = 0.75 x proof stress x stress area      (reusable joint, [SHIG9-T8-15], [COX-J429])
//   torque  = K x preload x diameter
//   K by friction = (d2/2d)(tan L + f sec 30)/(1 - f tan L sec 30) + 0.625 fc, L the lead angle on the pitch
//   diameter d2 = d - 0.6495 P                                                     [SHIG9-T8-15]
// Threads: metric coarse M6..M39 and fine to M36, UNC and UNF 1/4..1-1/2, stress areas from
// assets/tables/bolt_threads.csv; pi/4 (d - 0.9382 P)^2 metric, pi/4 (d - 0.9743 P)^2 inch.
// Proof: ISO 898-1 classes and SAE J429 grades 2, 5, 8. The torque of the maker's sheet goes first; scatter
// of the preload at one torque is wide: ten bolts at 90 N.m had 30.3 to 40.5 kN [SHIG9-T8-15].
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/metrology/verdict.h"

#include <string>
#include <string_view>
#include <vector>

namespace engine {

using SquareMillimetres = Quantity<struct SquareMillimetresTag>; ///< stress area of a thread

struct BoltThread {
    std::string       size; ///< "M16", "M16x1.5", "5/8-11"
    Millimetres       diameter;
    ThreadPitch       pitch;
    SquareMillimetres stress_area;
    bool              inch = false;
    std::string       source;
};

/// "M16", "M16x1.5", "5/8-11" (UNC) or "5/8-18" (UNF). Fails: Fault::bad_input for a size the table does not
/// hold.
[[nodiscard]] Result<BoltThread> bolt_thread(std::string_view size);

/// From the geometry of a 60 degree thread: diameter 1..100 mm, pitch above 0, at most half the diameter.
/// Fails: Fault::out_of_range.
[[nodiscard]] Result<SquareMillimetres> stress_area(Millimetres diameter, ThreadPitch pitch, bool inch);

struct ProofStress {
    Megapascals stress;
    Megapascals tensile; ///< least tensile strength of the class in this size
    std::string source;
};

/// "8.8" for metric threads, "grade5" (or "5") for UNC and UNF. Fails: Fault::bad_input for an unknown class,
/// a class of the other system, or a class that does not reach this diameter.
[[nodiscard]] Result<ProofStress> proof_stress(const BoltThread& thread, std::string_view bolt_class);

struct NutFactor {
    double      k = 0.2;
    std::string source;
    double      k_low = 0, k_high = 0; ///< least and greatest published for this state; 0: k itself
};

/// "dry" 0.20, "oiled" 0.15, "anti-seize" 0.12, or K itself, 0.08..0.50. Zinc is refused: published values
/// run from 0.17 to 0.30. Fails: Fault::bad_input.
[[nodiscard]] Result<NutFactor> lube_factor(std::string_view lube);

/// Friction in the thread and under the head or nut, each 0.02..0.6. Fails: Fault::out_of_range.
[[nodiscard]] Result<double> nut_factor_by_friction(const BoltThread& thread, double thread_friction,
                                                    double collar_friction);

struct Tightening {
    Kilonewtons  preload;
    NewtonMetres torque;
};
/// K 0.08..0.5, share of proof 0.1..0.9. Fails: Fault::out_of_range.
[[nodiscard]] Result<Tightening> tightening(const BoltThread& thread, Megapascals proof, double k,
                                            double share_of_proof = 0.75);

/// What the preload may be when every bolt gets the same torque: the published nut factors of the state, and
/// the scatter from bolt to bolt at one torque, 17 % of K (twice the standard deviation of ten bolts, 2.88 of
/// 34.18 kN [SHIG9-T8-15]). Fails: as tightening.
struct PreloadRange {
    Kilonewtons low, high;
    bool        over_proof = false; ///< the high end lies over the proof load
};
inline constexpr double            kBoltScatter = 0.17;
[[nodiscard]] Result<PreloadRange> preload_range(const BoltThread& thread, Megapascals proof,
                                                 const NutFactor& factor, double share_of_proof = 0.75);

struct Pass {
    double share = 1;     ///< of the final torque
    bool   check = false; ///< the round that only looks whether any bolt still turns
};
/// 30, 60, 100 % in the cross order, then one check round at 100 % [PIPINGDES] [HSWHITE]; from 12 bolts on
/// 20, 40, 80, 100 % and the check round [PIPINGDES].
[[nodiscard]] std::vector<Pass> tightening_passes(int bolts = 4);

/// Cross order for 2..24 bolts numbered clockwise from 1: opposite, then a quarter turn on. 4: 1-3-2-4;
/// 8: 1-5-3-7-2-6-4-8 [COMMON]; other even numbers by the same halving; odd numbers step by (n-1)/2.
/// Fails: Fault::out_of_range.
[[nodiscard]] Result<std::vector<int>> cross_order(int bolts);

/// A torque read at the wrench against the sheet's value: tolerance 1..30 %, wrench error 0..20 % of reading
/// (ISO 6789 allows 4 or 6 %, from memory). Decided in mN.m. Fails: Fault::out_of_range.
struct TorqueCheck {
    NewtonMetres read, wanted; ///< wanted 0.1..10 000
    double       tolerance_percent = 10;
    double       wrench_percent    = 4;
};
[[nodiscard]] Result<Verdict> torque_verdict(const TorqueCheck& check);

} // namespace engine
