#include "engine/running/grease.h"

#include "engine/base/ranges.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace engine {
namespace {

constexpr double kGreaseDensity = 0.9;  // g/cm3, from memory
constexpr double kSteelDensity  = 7.8;  // g/cm3 [MEM-GREASE]
constexpr double kFreeShare     = 0.20; // of the envelope, from memory

double kind_factor(RollingKind kind)
{
    switch (kind) {
    case RollingKind::ball:
        return 10;
    case RollingKind::cylindrical:
        return 5;
    case RollingKind::spherical:
        break;
    }
    return 1;
}

std::optional<Failure> bad_case(const GreaseCase& b)
{
    if (auto bad = out_of({5, 1000, "mm", 0}, b.bore.value, "bore")) return bad;
    if (auto bad = out_of({b.bore.value * 1.05, 2000, "mm", 1}, b.outer.value, "outside diameter"))
        return bad;
    if (auto bad = out_of({1, 1000, "mm", 0}, b.width.value, "width")) return bad;
    if (auto bad = out_of({1, 50'000, "r/min", 0}, b.speed.value, "speed")) return bad;
    return out_of({-40, 200, "C", 0}, b.temperature.value, "temperature");
}

} // namespace

Result<GreaseFigures> grease_for(const GreaseCase& b)
{
    if (const auto bad = bad_case(b)) return *bad;
    const double d = b.bore.value, outer = b.outer.value, width = b.width.value;
    const double envelope = std::numbers::pi / 4 * width * (outer * outer - d * d) / 1000; // cm3
    double       free     = kFreeShare * envelope;
    if (b.mass) {
        const double most = envelope * kSteelDensity;
        if (const auto bad = out_of({0.3 * most, most, "g", 0}, b.mass->value, "mass of the bearing"))
            return *bad;
        free = envelope - b.mass->value / kSteelDensity;
    }
    const double base = kind_factor(b.kind) * (14e6 / (b.speed.value * std::sqrt(d)) - 4 * d);
    if (!(base > 0))
        return failure(Fault::out_of_range,
                       "The speed of " + fixed(b.speed.value, 0) +
                           " r/min is beyond the interval rule for this bore; ask the maker.");
    const double halvings = std::max(0.0, (b.temperature.value - 70) / 15);
    return GreaseFigures{Grams{kGreaseDensity * free}, Grams{0.005 * outer * width},
                         Hours{base * std::pow(0.5, halvings)}};
}

} // namespace engine
