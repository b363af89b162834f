#include "field/drawing/alignment.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace field::drawing {
namespace {

void block(Sketch& out, Point at, double half, double angle_deg, Pen pen)
{
    const double base = half * 1.25;
    Outline      body = arc({at.x, at.y}, half, -90, 90);
    body.insert(body.end(), {{at.x + half, at.y + base},
                             {at.x + half * 1.45, at.y + base},
                             {at.x + half * 1.45, at.y + base + half * 0.3},
                             {at.x - half * 1.45, at.y + base + half * 0.3},
                             {at.x - half * 1.45, at.y + base},
                             {at.x - half, at.y + base}});
    out.body(turned(body, at, angle_deg), Tone::steel_light, pen);
}

void dial(Sketch& out, Point at, double r, double needle_deg)
{
    out.line({at, {at.x, at.y - r * 1.2}}, Pen{Tone::mark, 0.6, Dash::solid});
    const Point c{at.x, at.y - r * 2.2};
    out.body(circle(c, r), Tone::panel, kHeavyThin);
    for (int a = 0; a < 360; a += 30)
        out.line({on_circle(c, r * 0.95, a), on_circle(c, r * 0.78, a)}, Pen{Tone::edge, 0.2, Dash::solid});
    out.line({c, on_circle(c, r * 0.72, needle_deg)}, Pen{Tone::mark, 0.6, Dash::solid});
}

} // namespace

Sketch sketch(const AlignPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    const double row  = out.row(Letters::label);
    const double span = area.width() * 0.56;
    const double half = std::min({area.width() * 0.105, area.height() * 0.16, 11.0});
    // beyond three limits the picture shows the direction, not the size
    const double most  = 3 * std::max(picture.limit.value, 0.1);
    const double shown = picture.read ? kAngleDrawn * std::clamp(picture.angle.value, -most, most) : 0;
    const double bent  = std::clamp(shown, -24.0, 24.0);
    const double tan_a = std::tan(bent * std::numbers::pi / 180);
    const double fall  = std::clamp(span * tan_a, -area.height() * 0.3, area.height() * 0.3);
    const double y     = area.centre().y - fall / 2;
    const Point  a{area.centre().x - span / 2, y}, b{area.centre().x + span / 2, y + fall};
    const double slope_deg = std::atan2(b.y - a.y, b.x - a.x) * 180 / std::numbers::pi;
    const Point  ahead     = turned(Point{area.width() * 0.16, 0}, {0, 0}, slope_deg);

    const bool out_of = std::abs(picture.angle.value) > picture.limit.value;
    const Tone tone   = !picture.read ? Tone::soft : out_of ? Tone::outside : Tone::inside;
    // the fan of what is allowed, about the first housing
    const double  lim = std::min(24.0, kAngleDrawn * picture.limit.value), reach = span + ahead.x;
    const Outline fan = sector(a, {0.1, reach}, 90 - lim, 90 + lim);
    if (bounds(fan).top > area.top && bounds(fan).bottom < area.bottom) {
        out.fill(fan, Tone::inside_soft);
        out.line({a, on_circle(a, reach, 90 - lim)}, Pen{Tone::inside, 0.3, Dash::dashed});
        out.line({a, on_circle(a, reach, 90 + lim)}, Pen{Tone::inside, 0.3, Dash::dashed});
    }
    const double shaft = half * 0.3;
    const Point  from = a - ahead, to = b + ahead, across = turned(Point{0, shaft}, {0, 0}, slope_deg);
    out.body({from - across, to - across, to + across, from + across}, Tone::steel_dark);
    block(out, a, half, 0, kEdge);
    block(out, b, half, 0, kHeavy);
    out.line({from, to}, kCentre);
    out.line({a, {to.x, a.y}}, Pen{Tone::edge, 0.25, Dash::dashed});
    if (picture.straightedge) {
        const double lift = half + 0.4;
        out.body({{a.x - half * 1.2, a.y - lift - 2.4},
                  {b.x + half * 1.2, a.y - lift - 2.4},
                  {b.x + half * 1.2, a.y - lift},
                  {a.x - half * 1.2, a.y - lift}},
                 Tone::mark_soft, kHeavyThin);
    } else {
        dial(out, {b.x, b.y - half}, std::min(half * 0.8, (b.y - half - area.top) / 3.4), bent * 4);
    }
    const Lettering name{Letters::title, true, Tone::edge, Side::middle};
    out.words(picture.first, {a.x, a.y + half * 0.75}, name);
    out.words(picture.second, {b.x, b.y + half * 0.75}, {Letters::title, true, Tone::mark, Side::middle});
    const std::string says = picture.read ? fixed(std::abs(picture.angle.value), 2) + "°" : "";
    const double      mid = area.centre().x, low = std::max(a.y, b.y) + half * 1.55 + row * 0.6;
    const Lettering   how{Letters::instruction, true, tone, Side::middle};
    if (says.empty()) return out;
    (void)out.words_where_free(says, {{mid, low}, {mid, area.bottom - row}, {mid, area.top + row}}, how);
    return out;
}

} // namespace field::drawing
