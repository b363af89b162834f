#include "engine/running/viscosity.h"

#include "engine/base/ranges.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr double kZeroCelsius = 273.15;
constexpr double kShift       = 0.7;
constexpr Range  kTemperature{-50, 200, "C", 0};
constexpr Range  kViscosity{2, 1e6, "mm2/s", 0};

double x_of(Celsius t)
{
    return std::log10(t.value + kZeroCelsius);
}

double y_of(KinematicViscosity nu)
{
    return std::log10(std::log10(nu.value + kShift));
}

std::optional<Failure> bad_point(const ViscosityPoint& point)
{
    if (auto bad = out_of(kTemperature, point.at.value, "temperature of a known viscosity")) return bad;
    return out_of(kViscosity, point.viscosity.value, "known viscosity");
}

} // namespace

Result<ViscosityFigures> viscosity_at(const ViscosityPoint& one, const ViscosityPoint& other, Celsius wanted)
{
    if (const auto bad = bad_point(one)) return *bad;
    if (const auto bad = bad_point(other)) return *bad;
    if (const auto bad = out_of(kTemperature, wanted.value, "temperature wanted")) return *bad;
    const ViscosityPoint& cold = one.at < other.at ? one : other;
    const ViscosityPoint& warm = one.at < other.at ? other : one;
    if (const auto bad = out_of({5, 250, "K", 0}, between(warm.at, cold.at).value,
                                "distance between the two known temperatures"))
        return *bad;
    if (warm.viscosity >= cold.viscosity)
        return failure(Fault::out_of_range, "The oil is not thinner at " + fixed(warm.at.value, 0) +
                                                " C than at " + fixed(cold.at.value, 0) +
                                                " C; exchange or correct the two viscosities.");
    ViscosityFigures found;
    found.b            = (y_of(cold.viscosity) - y_of(warm.viscosity)) / (x_of(warm.at) - x_of(cold.at));
    found.a            = y_of(cold.viscosity) + found.b * x_of(cold.at);
    const double inner = std::pow(10.0, found.a - found.b * x_of(wanted));
    found.viscosity    = KinematicViscosity{std::pow(10.0, inner) - kShift};
    found.extended     = wanted < cold.at || wanted > warm.at;
    constexpr double kLooser = 1 - 1e-9; // a known point of exactly 2 comes back as 2
    const Range      held{kViscosity.low * kLooser, kViscosity.high / kLooser, "mm2/s", 0};
    if (const auto bad = out_of(held, found.viscosity.value, "viscosity found")) return *bad;
    return found;
}

} // namespace engine
