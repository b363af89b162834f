#include "field/drawing/shaft_line.h"

#include "field/drawing/shapes.h"

#include <algorithm>

namespace field::drawing {

LineLayout line_layout(std::size_t positions)
{
    LineLayout out;
    if (positions == 1) return {{0.24}, 0.48, 0.80};
    const double edge = positions > 3 ? 0.085 : 0.17;
    for (std::size_t i = 0; i < positions; ++i)
        out.at.push_back(edge + (1 - 2 * edge) * static_cast<double>(i) /
                                    static_cast<double>(std::max<std::size_t>(positions - 1, 1)));
    if (positions == 0) return {{}, 0.35, 0.65};
    // the driven body sits between the two positions in the middle
    const std::size_t left = (positions - 1) / 2;
    const double      a = out.at[left], b = out.at[std::min(left + 1, positions - 1)], gap = b - a;
    out.body_from = a + 0.34 * gap;
    out.body_to   = b - 0.34 * gap;
    return out;
}

namespace {

struct Unit {
    double x, axis, half, foot; ///< middle, centre line, half width, height from the line to the foot
};

void pillow(Sketch& out, const Unit& u, Pen pen)
{
    Outline       body{{u.x + u.half, u.axis + u.foot}, {u.x - u.half, u.axis + u.foot}};
    const double  r = u.half, top = u.axis - u.half * 0.15;
    const Outline crown = arc({u.x, top}, r, -90, 90);
    body.insert(body.end(), crown.begin(), crown.end());
    out.body(body, Tone::panel, pen);
    const double high = std::max(1.8, u.foot * 0.30);
    out.body(rectangle({u.x - u.half * 1.5, u.axis + u.foot, u.x + u.half * 1.5, u.axis + u.foot + high}),
             Tone::panel, pen);
}

void flange(Sketch& out, const Unit& u, Pen pen, bool leftmost)
{
    const double way = leftmost ? -1 : 1, high = u.half * 1.25, plate = u.half * 0.42;
    // structure behind the plate, on the side of the body
    const double wall = u.half * 0.36, a = u.x - way * plate;
    const double w0 = std::min(a, a - way * wall), w1 = std::max(a, a - way * wall);
    out.cut(rectangle({w0, u.axis - high * 1.2, w1, u.axis + high * 1.2}), Tone::steel_light, Lean::left,
            kThin);
    const double p0 = std::min(a, u.x), p1 = std::max(a, u.x);
    out.body(rectangle({p0, u.axis - high, p1, u.axis + high}), Tone::panel, pen);
    out.body({{u.x, u.axis - high * 0.72},
              {u.x + way * u.half * 1.5, u.axis - high * 0.55},
              {u.x + way * u.half * 1.5, u.axis + high * 0.55},
              {u.x, u.axis + high * 0.72}},
             Tone::panel, pen);
}

void role(Sketch& out, const LinePosition& p, Point at, double room)
{
    const Lettering how{Letters::label, false, p.current ? Tone::mark : Tone::soft, Side::middle};
    if (out.width_of(p.says, how) > room || p.says.empty()) { // no room for the word: the arrow says it
        if (!p.floats || room < 6) return;
        out.arrow({at, {at.x - 2.6, at.y}}, Pen{how.tone, 0.4, Dash::solid}, 1.6);
        out.arrow({at, {at.x + 2.6, at.y}}, Pen{how.tone, 0.4, Dash::solid}, 1.6);
        return;
    }
    const bool   arrow = p.floats && out.width_of(p.says, how) + 6.5 <= room;
    const double half  = out.width_of(p.says, how) / 2 + (arrow ? 3.3 : 0);
    const double in    = std::min(std::max(at.x, out.area().left + half), out.area().right - half);
    const Box    box   = out.words(p.says, {in - (arrow ? 3.3 : 0), at.y}, how);
    if (!arrow) return;
    const double y = box.centre().y, l = box.right + 1.5;
    out.arrow({{l + 2.5, y}, {l, y}}, Pen{how.tone, 0.4, Dash::solid}, 1.6);
    out.arrow({{l + 2.5, y}, {l + 5, y}}, Pen{how.tone, 0.4, Dash::solid}, 1.6);
}

} // namespace

Sketch sketch(const LinePicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch            out(area, metrics);
    const std::size_t n      = picture.positions.size();
    const LineLayout  layout = line_layout(n);
    const double      row    = out.row(Letters::label);
    const double      pace   = n > 1 ? area.width() * (layout.at[1] - layout.at[0]) : area.width() * 0.48;
    const double half = std::min({8.2, pace * (n > 3 ? 0.27 : 0.2), area.width() * (n > 3 ? 0.052 : 0.105),
                                  (area.height() - row) * 0.27});
    const double high = std::min(area.height() - row, half * 3.9);
    const double top  = area.top + row + (area.height() - row - high) / 2;
    const double axis = top + half * 1.75, shaft = half * 0.42;
    const auto   x = [&](double share) { return area.left + share * area.width(); };
    out.body(rectangle({x(0.04), axis - shaft, x(0.96), axis + shaft}), Tone::steel, kEdge);
    const double deep = half * (n > 3 ? 1.15 : 1.6); // between close positions it stays under their names
    const Box    body{x(layout.body_from), axis - deep, x(layout.body_to), axis + deep};
    out.line({{x(0.015), axis}, {x(0.985), axis}}, kCentre);
    out.body(rounded(body, 1.2), Tone::panel, kEdge);
    for (const double y : {body.top + deep * 0.3, body.bottom - deep * 0.3})
        out.line({{body.left, y}, {body.right, y}}, Pen{Tone::hatch, 0.25, Dash::solid});
    for (std::size_t i = 0; i < n; ++i) {
        const LinePosition& p = picture.positions[i];
        const Unit          u{x(layout.at[i]), axis, half, half * 1.35};
        const Pen           pen    = p.current ? kHeavy : kEdge;
        double              middle = u.x;
        if (p.flange) {
            const bool left = layout.at[i] < (layout.body_from + layout.body_to) / 2;
            flange(out, u, pen, left);
            middle += (left ? -1 : 1) * half * 0.75;
        } else {
            pillow(out, u, pen);
        }
        const Tone tone = p.current ? Tone::mark : p.done ? Tone::ink : Tone::edge;
        out.words(p.letter, {middle, axis},
                  {half > 5 ? Letters::title : Letters::label, true, tone, Side::middle});
        const double over = axis - half * (p.flange ? 1.55 : 1.2) - 0.4 - row / 2;
        const double free = std::min(pace - 2, area.width() * 0.45);
        role(out, p, {middle, over}, free);
    }
    return out;
}

} // namespace field::drawing
