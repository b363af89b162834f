#include "field/drawing/plane.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace field::drawing {

Box inset(const Box& box, double by_mm)
{
    const double by_x = std::min(by_mm, box.width() / 2);
    const double by_y = std::min(by_mm, box.height() / 2);
    return {box.left + by_x, box.top + by_y, box.right - by_x, box.bottom - by_y};
}

bool overlap(const Box& a, const Box& b)
{
    return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

bool holds(const Box& outer, const Box& inner, double slack_mm)
{
    return inner.left >= outer.left - slack_mm && inner.right <= outer.right + slack_mm &&
           inner.top >= outer.top - slack_mm && inner.bottom <= outer.bottom + slack_mm;
}

Box bounds(const Outline& outline)
{
    if (outline.empty()) return {};
    Box box{outline.front().x, outline.front().y, outline.front().x, outline.front().y};
    for (const Point p : outline) {
        box.left   = std::min(box.left, p.x);
        box.right  = std::max(box.right, p.x);
        box.top    = std::min(box.top, p.y);
        box.bottom = std::max(box.bottom, p.y);
    }
    return box;
}

Point on_circle(Point centre, double radius_mm, double angle_deg)
{
    const double a = angle_deg * std::numbers::pi / 180;
    return {centre.x + radius_mm * std::sin(a), centre.y - radius_mm * std::cos(a)};
}

Point turned(Point p, Point centre, double angle_deg)
{
    const double a = angle_deg * std::numbers::pi / 180;
    const Point  d = p - centre;
    return {centre.x + d.x * std::cos(a) - d.y * std::sin(a),
            centre.y + d.x * std::sin(a) + d.y * std::cos(a)};
}

Outline Frame::map(const Outline& part) const
{
    Outline out;
    out.reserve(part.size());
    for (const Point p : part)
        out.push_back(map(p));
    return out;
}

Frame fit(const Box& part, const Box& area)
{
    double scale = 1.0;
    if (part.width() > 0 && part.height() > 0 && area.width() > 0 && area.height() > 0)
        scale = std::min(area.width() / part.width(), area.height() / part.height());
    return {scale, area.centre() - scale * part.centre()};
}

} // namespace field::drawing
