#include "engine/fit/ring.h"

#include "engine/base/ranges.h"

namespace engine {
namespace {

std::optional<Failure> bad_ring(const Ring& ring)
{
    if (auto bad = out_of({5, 1000, "mm", 0}, ring.bore.value, "bore")) return bad;
    const double d = ring.bore.value;
    if (auto bad = out_of({1.02 * d, 3 * d, "mm", 2}, ring.outer.value, "raceway diameter")) return bad;
    if (auto bad = out_of({0, 0.9 * d, "mm", 2}, ring.shaft_bore.value, "bore of the shaft")) return bad;
    return out_of({50'000, 300'000, "MPa", 0}, ring.modulus.value, "modulus of elasticity");
}

/// (1-k0^2)/(1-k^2 k0^2): 1 for a solid shaft, less for a hollow one.
double stiffness_share(double k, double k0)
{
    return (1 - k0 * k0) / (1 - k * k * k0 * k0);
}

} // namespace

Result<double> growth_share(const Ring& ring)
{
    if (const auto bad = bad_ring(ring)) return *bad;
    const double k = ring.bore / ring.outer;
    return k * stiffness_share(k, ring.shaft_bore / ring.bore);
}

Result<RingFigures> press_on(const Ring& ring, Millimetres interference)
{
    const auto share = growth_share(ring);
    if (!share) return share.failure();
    if (const auto bad = out_of({0, 0.01 * ring.bore.value, "mm", 3}, interference.value, "interference"))
        return *bad;
    const double k  = ring.bore / ring.outer;
    const double k0 = ring.shaft_bore / ring.bore;
    RingFigures  figures;
    figures.pressure = ring.modulus * (interference / ring.bore / 2 * (1 - k * k) * stiffness_share(k, k0));
    figures.growth   = interference * *share;
    figures.hoop     = figures.pressure * ((1 + k * k) / (1 - k * k));
    return figures;
}

} // namespace engine
