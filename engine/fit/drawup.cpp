#include "engine/fit/drawup.h"

#include "engine/base/ranges.h"
#include "engine/fit/ring.h"

#include <cmath>
#include <numbers>

namespace engine {
namespace {

constexpr double kMostAngle = 1440, kMostTravel = 30, kMostTaken = 1;
constexpr double kModelLarge = 0.075, kModelSmallMm = 6.5; // of the header
constexpr double kUsualInterference = 0.0007;              // of the bore

Ring ring_of(const Taper& unit)
{
    return {unit.bore, unit.raceway, unit.shaft_bore, unit.modulus, unit.shaft_modulus, unit.sleeve_bore};
}

std::optional<Failure> bad_unit(const Taper& unit)
{
    if (auto bad = out_of({5, 50, "", 0}, unit.taper, "taper (12 means 1:12)")) return bad;
    if (auto bad = out_of({0.2, 12, "mm", 1}, unit.pitch.value, "pitch of the nut")) return bad;
    if (auto bad = out_of({0, 1000, "mm", 0}, unit.width.value, "width of the ring")) return bad;
    const Range friction{0.02, 0.5, "", 2};
    if (auto bad = out_of(friction, unit.friction, "coefficient of friction")) return bad;
    if (auto bad = out_of(friction, unit.friction_low, "lower friction")) return bad;
    if (auto bad = out_of({unit.friction_low, 0.5, "", 2}, unit.friction_high, "upper friction")) return bad;
    if (unit.sleeve_factor != 0) return out_of({1, 1.5, "", 1}, unit.sleeve_factor, "sleeve factor");
    const bool published = unit.taper == 12 || unit.taper == 30;
    if (unit.on_sleeve && !published)
        return failure(Fault::bad_input, "A sleeve factor is published for tapers 1:12 and 1:30 only; leave "
                                         "the sleeve factor off for a taper of 1:" +
                                             fixed(unit.taper, 1) + ", or give one.");
    return std::nullopt;
}

/// Share of the interference that surfaces pressed smooth leave.
double smoothed(const Taper& unit)
{
    if (unit.smoothing == Smoothing::none) return 1;
    return unit.bore.value / (unit.bore.value + (unit.smoothing == Smoothing::ground ? 2 : 3));
}

/// Travel that makes one mm of effective interference.
double travel_per_interference(const Taper& unit)
{
    double sleeve = unit.sleeve_factor != 0 ? unit.sleeve_factor : 1.0;
    if (unit.on_sleeve && unit.sleeve_factor == 0) sleeve = unit.taper == 12 ? 1.1 : 1.05;
    return unit.taper * sleeve / smoothed(unit);
}

struct Push {
    Kilonewtons  force;
    NewtonMetres torque;
};

/// Force up the taper and torque on its nut at one friction.
Result<Push> push_at(const Taper& unit, Megapascals pressure, double friction)
{
    const double half_angle = 1 / (2 * unit.taper); // tangent
    const double newtons =
        pressure.value * std::numbers::pi * unit.bore.value * unit.width.value * (friction + half_angle);
    const auto factor = nut_factor(unit.bore, unit.pitch, friction);
    if (!factor) return factor.failure();
    return Push{Kilonewtons{newtons / 1000}, NewtonMetres{newtons * unit.bore.value / 1000 * *factor}};
}

Result<DrawUp> worked_out(const Taper& unit, Degrees angle)
{
    DrawUp up;
    up.angle        = angle;
    up.travel       = to_turns(angle) * unit.pitch;
    up.interference = up.travel / travel_per_interference(unit);
    const auto ring = press_on(ring_of(unit), up.interference);
    if (!ring) return ring.failure();
    up.growth = up.clearance_taken = ring->growth;
    up.pressure                    = ring->pressure;
    up.hoop                        = ring->hoop;
    up.heavy                       = up.interference.value > kUsualInterference * unit.bore.value;
    if (unit.width.value > 0) {
        const auto push = push_at(unit, up.pressure, unit.friction);
        const auto low  = push_at(unit, up.pressure, unit.friction_low);
        const auto high = push_at(unit, up.pressure, unit.friction_high);
        if (!push || !low || !high) return (!push ? push : !low ? low : high).failure();
        up.axial_force = push->force, up.force_low = low->force, up.force_high = high->force;
        up.nut_torque = push->torque, up.torque_low = low->torque, up.torque_high = high->torque;
    }
    return up;
}

} // namespace

double model_share(Millimetres bore)
{
    return std::hypot(kModelLarge, kModelSmallMm / bore.value);
}

Result<double> nut_factor(Millimetres thread, ThreadPitch pitch, double friction)
{
    const double d = thread.value;
    if (const auto bad = out_of({1, 1000, "mm", 0}, d, "thread diameter")) return *bad;
    if (const auto bad = out_of({0.1, 0.5 * d, "mm", 2}, pitch.value, "thread pitch")) return *bad;
    if (const auto bad = out_of({0, 0.5, "", 2}, friction, "coefficient of friction")) return *bad;
    const double mean   = d - 0.649519 * pitch.value; // pitch diameter of a 60 degree thread
    const double lead   = pitch.value / (std::numbers::pi * mean);
    const double secant = 1 / std::cos(std::numbers::pi / 6);
    return mean / (2 * d) * (lead + friction * secant) / (1 - friction * lead * secant) + 0.625 * friction;
}

Result<DrawUp> draw_up_by_angle(const Taper& unit, Degrees angle)
{
    if (const auto bad = bad_unit(unit)) return *bad;
    if (const auto bad = out_of({0, kMostAngle, "degrees", 0}, angle.value, "angle of the nut")) return *bad;
    return worked_out(unit, angle);
}

Result<DrawUp> draw_up_by_travel(const Taper& unit, Millimetres travel)
{
    if (const auto bad = bad_unit(unit)) return *bad;
    if (const auto bad = out_of({0, kMostTravel, "mm", 0}, travel.value, "travel")) return *bad;
    return draw_up_by_angle(unit, Degrees{travel.value / unit.pitch.value * 360});
}

Result<DrawUp> draw_up_by_clearance(const Taper& unit, Millimetres clearance_taken)
{
    if (const auto bad = bad_unit(unit)) return *bad;
    if (const auto bad = out_of({0, kMostTaken, "mm", 0}, clearance_taken.value, "clearance to be taken"))
        return *bad;
    const auto share = growth_share(ring_of(unit));
    if (!share) return share.failure();
    return draw_up_by_travel(unit, clearance_taken * (travel_per_interference(unit) / *share));
}

} // namespace engine
