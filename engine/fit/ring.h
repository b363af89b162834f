#pragma once
// Elastic fit of a ring on a shaft: thick rings, plane stress (Lame). d bore, D outer, d0 bore of the shaft,
// k = d/D, I diametral interference, E and nu modulus and Poisson's ratio of ring (o) and shaft (i):
//   pressure  p = I / (d (((D^2+d^2)/(D^2-d^2) + nu_o)/E_o + ((ds^2+d0^2)/(ds^2-d0^2) - nu_i)/E_i + S))
//   growth of the outer diameter = 2 p D k^2 / (E_o (1-k^2))
//   greatest hoop stress (ring bore) = p (1+k^2)/(1-k^2)
// Source: [NTN_2203E] fit table (two materials); same material: [NSK_E1102] section 15.2 and Table 15.1.
// Ring on the shaft itself: ds = d and S = 0. On a slit sleeve of bore ds: a slit sleeve carries no hoop
// stress, so that radial force alone passes through it (radius x radial stress is constant) and it is
// pressed thinner by S = ln(d/ds)/E_o: worked out here from the balance of a ring element [COMPUTED].
#include "engine/base/quantity.h"
#include "engine/base/result.h"

namespace engine {

struct Ring {
    Millimetres bore;             ///< 5..1000
    Millimetres outer;            ///< for an inner ring: the raceway; 1.02..3 times the bore
    Millimetres shaft_bore;       ///< 0 for a solid shaft; 0..0.9 times the shaft diameter
    Megapascals modulus{208'000}; ///< of the ring; bearing steel [NSK_E1102] [NTN_2203E]; 50 000..300 000
    Megapascals shaft_modulus;    ///< 0: that of the ring; 50 000..300 000
    Millimetres sleeve_bore;      ///< 0: no sleeve; 0.6..1 times the bore
    double      poisson = 0.3;    ///< of ring and shaft, common practice; 0.2..0.4
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
