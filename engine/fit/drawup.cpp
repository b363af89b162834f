#include "engine/fit/drawup.h"

#include "engine/base/ranges.h"
#include "engine/fit/ring.h"

#include <cmath>
#include <numbers>

namespace engine {
namespace {

constexpr double kMostAngle = 1440, kMostTravel = 30, kMostTaken = 1;
constexpr double kUsualInterference = 0.0007; // of the bore

Ring ring_of(const Taper& unit)
{
    return {unit.bore, unit.raceway, unit.shaft_bore, unit.modulus};
}

std::optional<Failure> bad_unit(const Taper& unit)
{
    if (auto bad = out_of({5, 50, "", 0}, unit.taper, "taper (12 means 1:12)")) return bad;
    if (auto bad = out_of({0.2, 12, "mm", 1}, unit.pitch.value, "pitch of the nut")) return bad;
    if (auto bad = out_of({0, 1000, "mm", 0}, unit.width.value, "width of the ring")) return bad;
    if (auto bad = out_of({0.02, 0.5, "", 2}, unit.friction, "coefficient of friction")) return bad;
    const bool published = unit.taper == 12 || unit.taper == 30;
    if (unit.on_sleeve && !published)
        return failure(Fault::bad_input, "A sleeve factor is published for tapers 1:12 and 1:30 only; leave "
                                         "the sleeve factor off for a taper of 1:" +
                                             fixed(unit.taper, 1) + ".");
    return std::nullopt;
}

/// Travel that makes one mm of effective interference.
double travel_per_interference(const Taper& unit)
{
    const double sleeve = !unit.on_sleeve ? 1.0 : (unit.taper == 12 ? 1.1 : 1.05);
    const double smooth = unit.smoothing ? unit.bore.value / (unit.bore.value + 2) : 1.0;
    return unit.taper * sleeve / smooth;
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
        const double half_angle = 1 / (2 * unit.taper); // tangent
        const double newtons    = up.pressure.value * std::numbers::pi * unit.bore.value * unit.width.value *
                               (unit.friction + half_angle);
        const auto factor = nut_factor(unit.bore, unit.pitch, unit.friction);
        if (!factor) return factor.failure();
        up.axial_force = Kilonewtons{newtons / 1000};
        up.nut_torque  = NewtonMetres{newtons * unit.bore.value / 1000 * *factor};
    }
    return up;
}

} // namespace

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
