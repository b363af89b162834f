#pragma once
// Units as types: one type per physical meaning, so that a pitch can never be passed where a travel is
// wanted. The number inside is always in the unit the type is named after.
#include <compare>

namespace engine {

template <class Tag> struct Quantity {
    double value{};

    constexpr Quantity() = default;
    constexpr explicit Quantity(double v) : value(v) {}
    friend constexpr auto     operator<=>(Quantity, Quantity) = default;
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity{a.value + b.value}; }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity{a.value - b.value}; }
    friend constexpr Quantity operator-(Quantity a) { return Quantity{-a.value}; }
    friend constexpr Quantity operator*(double k, Quantity a) { return Quantity{k * a.value}; }
    friend constexpr Quantity operator*(Quantity a, double k) { return Quantity{k * a.value}; }
    friend constexpr Quantity operator/(Quantity a, double k) { return Quantity{a.value / k}; }
    friend constexpr double   operator/(Quantity a, Quantity b) { return a.value / b.value; }
};

using Millimetres  = Quantity<struct MillimetresTag>;  ///< a length or a distance moved
using Micrometres  = Quantity<struct MicrometresTag>;  ///< form errors, uncertainties of lengths
using ThreadPitch  = Quantity<struct ThreadPitchTag>;  ///< mm advanced per turn, single start
using Turns        = Quantity<struct TurnsTag>;        ///< full revolutions of the nut
using Degrees      = Quantity<struct DegreesTag>;      ///< plane angle
using Celsius      = Quantity<struct CelsiusTag>;      ///< a temperature on the scale
using Kelvins      = Quantity<struct KelvinsTag>;      ///< a temperature difference
using NewtonMetres = Quantity<struct NewtonMetresTag>; ///< torque
using Kilonewtons  = Quantity<struct KilonewtonsTag>;  ///< force
using Megapascals  = Quantity<struct MegapascalsTag>;  ///< pressure, stress, modulus
using Grams        = Quantity<struct GramsTag>;        ///< grease
using Hours        = Quantity<struct HoursTag>;        ///< running time
using MmPerSecond  = Quantity<struct MmPerSecondTag>;  ///< vibration velocity, r.m.s.
using RevPerMinute = Quantity<struct RevPerMinuteTag>; ///< speed of rotation
using PerKelvin    = Quantity<struct PerKelvinTag>;    ///< linear expansion coefficient

/// The mixed products we allow, and no others.
constexpr Millimetres operator*(Turns turns, ThreadPitch pitch)
{
    return Millimetres{turns.value * pitch.value};
}
constexpr Turns to_turns(Degrees angle)
{
    return Turns{angle.value / 360.0};
}
constexpr Degrees to_degrees(Turns turns)
{
    return Degrees{turns.value * 360.0};
}
constexpr Micrometres to_micrometres(Millimetres length)
{
    return Micrometres{length.value * 1000.0};
}
constexpr Millimetres to_millimetres(Micrometres length)
{
    return Millimetres{length.value / 1000.0};
}
constexpr Kelvins between(Celsius warm, Celsius cold)
{
    return Kelvins{warm.value - cold.value};
}

inline constexpr double  kMillimetresPerInch = 25.4;  // exact by definition (ISO 80000-3)
inline constexpr Celsius kReferenceTemperature{20.0}; // ISO 1: lengths are stated at 20 degrees Celsius

namespace literals {
constexpr Millimetres operator""_mm(long double v)
{
    return Millimetres{static_cast<double>(v)};
}
constexpr Micrometres operator""_um(long double v)
{
    return Micrometres{static_cast<double>(v)};
}
constexpr Turns operator""_turns(long double v)
{
    return Turns{static_cast<double>(v)};
}
constexpr Degrees operator""_deg(long double v)
{
    return Degrees{static_cast<double>(v)};
}
constexpr Celsius operator""_degc(long double v)
{
    return Celsius{static_cast<double>(v)};
}
} // namespace literals
} // namespace engine
