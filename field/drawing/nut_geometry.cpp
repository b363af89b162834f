#include "field/drawing/nut_geometry.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace field::drawing {
namespace {

double wrapped(double angle_deg)
{
    const double a = std::fmod(angle_deg, 360.0);
    return a < 0 ? a + 360.0 : a;
}

} // namespace

engine::Degrees tang_step(int slots, int tangs)
{
    if (slots <= 0 || tangs <= 0) return engine::Degrees{360};
    return engine::Degrees{360.0 / std::lcm(slots, tangs)};
}

TangOverSlot next_tang(int slots, int tangs, engine::Degrees turned)
{
    TangOverSlot     best{0, 0, engine::Degrees{360}};
    constexpr double same_deg = 1e-7; // a slot that already stands under a tang needs no turn
    for (int s = 0; s < slots; ++s)
        for (int t = 0; t < tangs; ++t) {
            double gap = wrapped(360.0 * t / tangs - (360.0 * s / slots + turned.value));
            if (gap > 360.0 - same_deg) gap = 0;
            if (gap < best.gap.value - same_deg) best = {t, s, engine::Degrees{gap}};
        }
    return best;
}

engine::Degrees touch_angle(Point centre, Point touch)
{
    const Point d = touch - centre;
    if (d.x == 0 && d.y == 0) return engine::Degrees{0};
    return engine::Degrees{wrapped(std::atan2(d.x, -d.y) * 180 / std::numbers::pi)};
}

engine::Degrees follow_touch(engine::Degrees present, engine::Degrees touch, engine::Degrees least)
{
    double step = wrapped(touch.value - present.value);
    if (step > 180) step -= 360;
    return std::max(engine::Degrees{present.value + step}, least);
}

Laps laps_of(engine::Degrees angle)
{
    if (angle.value <= 0) return {0, engine::Degrees{0}};
    const int full = static_cast<int>(std::floor(angle.value / 360.0));
    return {full, engine::Degrees{angle.value - 360.0 * full}};
}

Outline nut_rim(Point centre, const NutShape& shape, engine::Degrees turned)
{
    Outline      out;
    const double half =
        std::asin(std::min(0.9, shape.slot_wide_mm / 2 / shape.outer_mm)) * 180 / std::numbers::pi;
    const double floor_half =
        std::asin(std::min(0.9, shape.slot_wide_mm / 2 / (shape.outer_mm - shape.slot_depth_mm))) * 180 /
        std::numbers::pi;
    const double pace = 360.0 / std::max(shape.slots, 1);
    for (int s = 0; s < std::max(shape.slots, 1); ++s) {
        const double mid = turned.value + pace * s;
        out.push_back(on_circle(centre, shape.outer_mm, mid - half));
        out.push_back(on_circle(centre, shape.outer_mm - shape.slot_depth_mm, mid - floor_half));
        out.push_back(on_circle(centre, shape.outer_mm - shape.slot_depth_mm, mid + floor_half));
        const Outline rim = arc(centre, shape.outer_mm, mid + half, mid + pace - half);
        out.insert(out.end(), rim.begin(), std::prev(rim.end()));
    }
    return out;
}

Outline tang(Point centre, const TangShape& shape, engine::Degrees at)
{
    const Outline upright{{centre.x - shape.root_wide_mm / 2, centre.y - shape.root_mm},
                          {centre.x - shape.tip_wide_mm / 2, centre.y - shape.tip_mm},
                          {centre.x + shape.tip_wide_mm / 2, centre.y - shape.tip_mm},
                          {centre.x + shape.root_wide_mm / 2, centre.y - shape.root_mm}};
    return field::drawing::turned(upright, centre, at.value);
}

} // namespace field::drawing
