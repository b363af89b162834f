#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace field::drawing {
namespace {

constexpr double kChord_mm = 0.6; // arcs are drawn with chords about this long

int steps_for(double radius_mm, double sweep_deg)
{
    const double length = std::abs(radius_mm * sweep_deg) * std::numbers::pi / 180;
    return std::clamp(static_cast<int>(std::ceil(length / kChord_mm)), 4, 180);
}

void append(Outline& out, const Outline& more)
{
    out.insert(out.end(), more.begin(), more.end());
}

} // namespace

Outline rectangle(const Box& box)
{
    return {{box.left, box.top}, {box.right, box.top}, {box.right, box.bottom}, {box.left, box.bottom}};
}

Outline arc(Point centre, double radius_mm, double from_deg, double to_deg)
{
    const int steps = steps_for(radius_mm, to_deg - from_deg);
    Outline   out;
    for (int i = 0; i <= steps; ++i)
        out.push_back(on_circle(centre, radius_mm, from_deg + (to_deg - from_deg) * i / steps));
    return out;
}

Outline rounded(const Box& box, double radius_mm)
{
    const double r = std::min({radius_mm, box.width() / 2, box.height() / 2});
    if (r <= 0) return rectangle(box);
    Outline out = arc({box.right - r, box.top + r}, r, 0, 90);
    append(out, arc({box.right - r, box.bottom - r}, r, 90, 180));
    append(out, arc({box.left + r, box.bottom - r}, r, 180, 270));
    append(out, arc({box.left + r, box.top + r}, r, 270, 360));
    return out;
}

Outline circle(Point centre, double radius_mm)
{
    Outline out = arc(centre, radius_mm, 0, 360);
    out.pop_back();
    return out;
}

Outline sector(Point centre, Radii radii, double from_deg, double to_deg)
{
    Outline out  = arc(centre, radii.outer_mm, from_deg, to_deg);
    Outline back = arc(centre, radii.inner_mm, to_deg, from_deg);
    append(out, back);
    return out;
}

Outline hexagon(Point centre, double radius_mm)
{
    Outline out;
    for (int i = 0; i < 6; ++i)
        out.push_back(on_circle(centre, radius_mm, 90 + 60.0 * i));
    return out;
}

Outline turned(const Outline& outline, Point centre, double angle_deg)
{
    Outline out;
    for (const Point p : outline)
        out.push_back(turned(p, centre, angle_deg));
    return out;
}

Outline moved(const Outline& outline, Point by)
{
    Outline out;
    for (const Point p : outline)
        out.push_back(p + by);
    return out;
}

Outline bar(Point centre, double long_mm, double wide_mm, double angle_deg)
{
    const Box box{centre.x - long_mm / 2, centre.y - wide_mm / 2, centre.x + long_mm / 2,
                  centre.y + wide_mm / 2};
    return turned(rectangle(box), centre, angle_deg);
}

Outline break_line(Point from, Point to, double swing_mm)
{
    const Point  d      = to - from;
    const double length = std::hypot(d.x, d.y);
    if (length <= 0) return {from, to};
    const Point   across{-d.y / length, d.x / length};
    constexpr int kSteps = 24;
    Outline       out;
    for (int i = 0; i <= kSteps; ++i) {
        const double t = static_cast<double>(i) / kSteps;
        out.push_back(from + t * d + (swing_mm * std::sin(2 * std::numbers::pi * t)) * across);
    }
    return out;
}

void dimension(Sketch& sketch, Point from, Point to, const std::string& text)
{
    const Pen    pen{Tone::ink, 0.3, Dash::solid};
    const double tick = 1.8;
    const double gap  = to.x - from.x;
    sketch.line({{from.x, from.y - tick}, {from.x, from.y + tick}}, pen);
    sketch.line({{to.x, to.y - tick}, {to.x, to.y + tick}}, pen);
    if (gap > 9) {
        const Point middle = 0.5 * (from + to);
        sketch.arrow({middle, from}, pen, 2.0);
        sketch.arrow({middle, to}, pen, 2.0);
    } else {
        sketch.arrow({{from.x - 5, from.y}, from}, pen, 2.0);
        sketch.arrow({{to.x + 5, to.y}, to}, pen, 2.0);
    }
    const Lettering how{Letters::label, true, Tone::ink, Side::middle};
    sketch.words(text, {(from.x + to.x) / 2, from.y + tick + sketch.row(Letters::label) / 2}, how);
}

} // namespace field::drawing
