#pragma once
// What the modified life asks for, when the maker's catalogue does not say it.
//   nu1   = 45 000 n^-0.83 Dpw^-0.5 below 1000 r/min, 4500 n^-0.5 Dpw^-0.5 from there (mm2/s; r/min; mm)
//           [CODE-AISO-1]; the branches do not meet: the lower one ends 2.3 % higher
//   kappa = nu / nu1
//   Cu    = C0/22 ball, C0/8.2 roller to Dpw 100 mm; above times (100/Dpw)^0.5 ball, ^0.3 roller
//   [CODE-AISO-4] eC    = band by cleanliness and size, assets/tables/contamination_typical.csv [MESYS-LUB]
//   s0    = C0 / P0; wanted at least as in assets/tables/s0_guideline.csv [BC-S330]
// Makers print their own nu1 diagrams (up to 20 % lower) and their own life factors; do not mix them with
// these.
#include "engine/base/quantity.h"
#include "engine/base/result.h"
#include "engine/metrology/verdict.h"
#include "engine/running/life.h"
#include "engine/running/viscosity.h"

#include <string>
#include <string_view>

namespace engine {

/// (d + D)/2, both 1..5000 mm and D above d. Fails: Fault::out_of_range.
[[nodiscard]] Result<Millimetres> pitch_diameter(Millimetres bore, Millimetres outer);

/// Speed 1..100 000 r/min, pitch diameter 1..5000 mm. Fails: Fault::out_of_range.
[[nodiscard]] Result<KinematicViscosity> reference_viscosity(RevPerMinute speed, Millimetres dpw);
/// nu / nu1, nu 0.1..1 000 000 mm2/s. Fails: Fault::out_of_range.
[[nodiscard]] Result<double> viscosity_ratio(KinematicViscosity at_running_temperature, RevPerMinute speed,
                                             Millimetres dpw);

/// C0 0.01..100 000 kN. Fails: Fault::out_of_range.
[[nodiscard]] Result<Kilonewtons> fatigue_load_limit(ElementKind kind, Kilonewtons c0, Millimetres dpw);

struct ContaminationBand {
    std::string level; ///< "normal cleanliness"
    double      low = 0, high = 0;
    std::string source;
};
/// "extreme", "high", "normal", "slight", "typical", "severe", "very-severe". Fails: Fault::bad_input naming
/// these; Fault::out_of_range.
[[nodiscard]] Result<ContaminationBand> contamination_band(std::string_view level, Millimetres dpw);

enum class Running { smooth, normal, shock };             ///< how the load comes
enum class Quietness { unimportant, usual, high, still }; ///< what is asked; still = does not rotate

struct StaticLoad {
    ElementKind kind = ElementKind::roller;
    Kilonewtons c0; ///< basic static load rating, 0.01..100 000
    Kilonewtons p0; ///< equivalent static load, above 0, at most 1000 C0
    Running     running   = Running::normal;
    Quietness   quietness = Quietness::usual;
};
struct StaticSafety {
    double  s0 = 0, wanted = 0;
    Verdict verdict = Verdict::inside; ///< inside or outside; the guide line carries no uncertainty
};
/// P0 = max(X0 Fr + Y0 Fa, Fr) is the maker's: X0 and Y0 stand in the catalogue. Fails: Fault::out_of_range.
[[nodiscard]] Result<StaticSafety> static_safety(const StaticLoad& load);

} // namespace engine
