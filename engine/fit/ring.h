#pragma once
// Elastic fit of a ring on a shaft of the same material: thick rings, plane stress (Lame).
// k = bore / outer, k0 = shaft_bore / bore, I = diametral interference, E = modulus:
//   pressure  p = (E/2) (I/bore) (1-k^2)(1-k0^2) / (1-k^2 k0^2)
//   growth of the outer diameter = I k (1-k0^2) / (1-k^2 k0^2)
//   greatest hoop stress (ring bore) = p (1+k^2)/(1-k^2)
// Source: [NSK_E1102] section 15.2 and Table 15.1, [NTN_2203E] fit table.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

namespace engine {

struct Ring {
    Millimetres bore;             ///< 5..1000
    Millimetres outer;            ///< for an inner ring: the raceway; 1.02..3 times the bore
    Millimetres shaft_bore;       ///< 0 for a solid shaft; 0..0.9 times the bore
    Megapascals modulus{208'000}; ///< bearing steel [NSK_E1102] [NTN_2203E]; 50 000..300 000
};

struct RingFigures {
    Megapascals pressure;
    Millimetres growth; ///< of the outer diameter
    Megapascals hoop;   ///< greatest tension, at the bore
};

/// Share of the interference that reaches the outer diameter, 0..1. Fails: Fault::out_of_range.
[[nodiscard]] Result<double> growth_share(const Ring& ring);

/// Interference 0..1 % of the bore. Fails: Fault::out_of_range.
[[nodiscard]] Result<RingFigures> press_on(const Ring& ring, Millimetres interference);

} // namespace engine
