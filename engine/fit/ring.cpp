#include "engine/fit/ring.h"

#include "engine/base/ranges.h"

#include <cmath>

namespace engine {
namespace {

/// Diameter the shaft has under the ring.
double seat_of(const Ring& ring)
{
    return ring.sleeve_bore.value != 0 ? ring.sleeve_bore.value : ring.bore.value;
}

std::optional<Failure> bad_ring(const Ring& ring)
{
    if (auto bad = out_of({5, 1000, "mm", 0}, ring.bore.value, "bore")) return bad;
    const double d = ring.bore.value;
    if (auto bad = out_of({1.02 * d, 3 * d, "mm", 2}, ring.outer.value, "raceway diameter")) return bad;
    if (ring.sleeve_bore.value != 0)
        if (auto bad = out_of({0.6 * d, d, "mm", 2}, ring.sleeve_bore.value, "bore of the sleeve"))
            return bad;
    if (auto bad = out_of({0, 0.9 * seat_of(ring), "mm", 2}, ring.shaft_bore.value, "bore of the shaft"))
        return bad;
    if (auto bad = out_of({0.2, 0.4, "", 1}, ring.poisson, "Poisson's ratio")) return bad;
    const Range modulus{50'000, 300'000, "MPa", 0};
    if (ring.shaft_modulus.value != 0)
        if (auto bad = out_of(modulus, ring.shaft_modulus.value, "modulus of elasticity of the shaft"))
            return bad;
    return out_of(modulus, ring.modulus.value, "modulus of elasticity");
}

/// Pressure made by one mm of interference, MPa.
double pressure_per_mm(const Ring& ring)
{
    const double d = ring.bore.value, outer = ring.outer.value, seat = seat_of(ring);
    const double hole        = ring.shaft_bore.value;
    const double shaft_e     = ring.shaft_modulus.value != 0 ? ring.shaft_modulus.value : ring.modulus.value;
    const double ring_gives  = (outer * outer + d * d) / (outer * outer - d * d) + ring.poisson;
    const double shaft_gives = (seat * seat + hole * hole) / (seat * seat - hole * hole) - ring.poisson;
    return 1 / (d * ((ring_gives + std::log(d / seat)) / ring.modulus.value + shaft_gives / shaft_e));
}

} // namespace

Result<double> growth_share(const Ring& ring)
{
    if (const auto bad = bad_ring(ring)) return *bad;
    const double k = ring.bore / ring.outer;
    return pressure_per_mm(ring) * 2 * ring.outer.value * k * k / (ring.modulus.value * (1 - k * k));
}

Result<RingFigures> press_on(const Ring& ring, Millimetres interference)
{
    const auto share = growth_share(ring);
    if (!share) return share.failure();
    if (const auto bad = out_of({0, 0.01 * ring.bore.value, "mm", 3}, interference.value, "interference"))
        return *bad;
    const double k = ring.bore / ring.outer;
    RingFigures  figures;
    figures.pressure = Megapascals{interference.value * pressure_per_mm(ring)};
    figures.growth   = interference * *share;
    figures.hoop     = figures.pressure * ((1 + k * k) / (1 - k * k));
    return figures;
}

} // namespace engine
