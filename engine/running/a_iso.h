#pragma once
// The life modification factor of ISO 281:2007 (equations 27 to 33 as given by [CODE-AISO-1] [CODE-AISO-2]
// [CODE-AISO-3] [CODE-AISO-4]; the standard itself was not at hand and no published number was found):
//   ball:   aISO = 0.1 [1 - (2.5671 - k1/kappa^k2)^0.83 (eC Cu/P)^(1/3)]^-9.3
//   roller: aISO = 0.1 [1 - (1.5859 - k1/kappa^k2)      (eC Cu/P)^0.4  ]^-9.185
// k1, k2 change at kappa 0.4 and 1 (assets/tables/a_iso_constants.csv); the branches meet there within
// 0.04 %. Where the bracket is not positive, and above 50, aISO is 50.
#include "engine/base/result.h"
#include "engine/running/life.h"

namespace engine {

struct LifeConditions {
    ElementKind kind            = ElementKind::roller;
    double      kappa           = 1; ///< 0.1..1000; above 4 counts as 4. Below 0.1 there is no aISO.
    double      ec              = 0; ///< 0..1
    double      cu_over_p       = 0; ///< 0..1000
    bool        proven_additive = false;
    ///< 9.3.3.4: with kappa < 1, eC >= 0.2 and an additive proven effective, kappa counts as 1 and aISO
    ///< is at most 3, but never less than without the additive
};

/// 0.0999..50. Fails: Fault::out_of_range.
[[nodiscard]] Result<double> modified_life_factor(const LifeConditions& conditions);

} // namespace engine
