#include "engine/mounting/alignment.h"

#include "engine/base/ranges.h"

#include <cmath>
#include <numbers>

namespace engine {
namespace {

constexpr double kDegreesPerRadian = 180 / std::numbers::pi;

/// Tangents of the two planes.
Result<Alignment> judged(double across, double up, Degrees u, Degrees limit)
{
    if (const auto bad = out_of({0.001, 10, "degrees", 3}, limit.value, "limit of misalignment")) return *bad;
    Alignment found;
    found.angle     = Degrees{std::atan(std::hypot(across, up)) * kDegreesPerRadian};
    found.direction = Degrees{std::atan2(up, across) * kDegreesPerRadian};
    found.u         = u;
    // Decided in millidegrees; the uncertainty is rounded up.
    found.verdict = decide(std::llround(found.angle.value * 1000),
                           static_cast<std::int64_t>(std::ceil(u.value * 1000 - 1e-6)),
                           {std::nullopt, std::llround(limit.value * 1000)});
    return found;
}

} // namespace

Result<Alignment> align_by_offsets(const Offsets& read, Degrees limit)
{
    const double span = read.span.value;
    if (const auto bad = out_of({10, 50'000, "mm", 0}, span, "span")) return *bad;
    if (const auto bad = out_of({-span, span, "mm", 3}, read.across.value, "offset across")) return *bad;
    if (const auto bad = out_of({-span, span, "mm", 3}, read.up.value, "offset up")) return *bad;
    if (const auto bad = out_of({0, 5000, "um", 0}, read.u.value, "uncertainty of an offset")) return *bad;
    const Degrees u{read.u.value / 1000 / span * kDegreesPerRadian};
    return judged(read.across.value / span, read.up.value / span, u, limit);
}

Result<Alignment> align_by_slopes(const Slopes& read, Degrees limit)
{
    if (const auto bad = out_of({-45, 45, "degrees", 0}, read.across.value, "slope across")) return *bad;
    if (const auto bad = out_of({-45, 45, "degrees", 0}, read.up.value, "slope up")) return *bad;
    if (const auto bad = out_of({0, 5, "degrees", 0}, read.u.value, "uncertainty of a slope")) return *bad;
    return judged(std::tan(read.across.value / kDegreesPerRadian),
                  std::tan(read.up.value / kDegreesPerRadian), read.u, limit);
}

} // namespace engine
