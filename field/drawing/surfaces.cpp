#include "field/drawing/surfaces.h"

#include "field/drawing/labels.h"
#include "field/drawing/shapes.h"

#include <algorithm>

namespace field::drawing {
namespace {

constexpr double kApart = 0.16; // gaps between the parts, of the bore

Outline lifted(const Outline& outline, double by)
{
    return moved(outline, {0, -by});
}

// A drop on the thread: where the oil goes.
void drop(Sketch& out, Point tip, double size, bool done)
{
    Outline body = arc({tip.x, tip.y + size * 1.5}, size, 55, 305);
    body.push_back(tip);
    if (done) {
        out.fill(body, Tone::edge);
    } else {
        out.body(body, Tone::mark_soft, kHeavyThin);
    }
}

} // namespace

Sketch sketch(const SurfacePicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch               out(area, metrics);
    const BearingData&   d   = picture.bearing;
    const BearingSection s   = bearing_section(d);
    const double         gap = kApart * d.bore.value, row = out.row(Letters::label);
    const double         up_sleeve = gap, up_ring = 2 * gap;
    const double         nut_out = gap * 1.6; // the nut comes off along the shaft
    const double         names =
        std::max({out.width_of(picture.word_shaft, {}), out.width_of(picture.word_sleeve, {}),
                  out.width_of(picture.word_bore, {})}) +
        7;
    const Box   part{s.sleeve_left, s.outer_top - up_ring, s.nut_right + nut_out, d.shaft.value * 0.16};
    const Box   room{area.left + names, area.top, area.right - out.width_of(picture.word_nut, {}) - 7,
                   area.bottom - row * 1.3};
    const Frame f = fit(part, room);
    const auto  y = [&](double v) { return f.map(Point{0, v}).y; };

    const double low   = f.map(Point{0, part.bottom}).y;
    Outline      shaft = break_line({area.left + 1.2, low}, {area.left + 1.2, y(s.shaft_top)}, 0.8);
    const double end   = std::min(area.right - 1, f.map(Point{part.right, 0}).x + 6);
    shaft.push_back({end - 1.5, y(s.shaft_top)});
    shaft.push_back({end, y(s.shaft_top) + 1.5});
    shaft.push_back({end, low});
    out.fill(shaft, Tone::steel), out.hatch(shaft, Lean::right, 2.2), out.loop(shaft, kEdge);
    out.line({{area.left, y(0)}, {area.right, y(0)}}, kCentre);
    out.cut(f.map(lifted(s.sleeve, up_sleeve)), Tone::bronze, Lean::right);
    out.cut(f.map(lifted(s.inner, up_ring)), Tone::steel, Lean::left);
    out.cut(f.map(lifted(s.outer, up_ring)), Tone::steel, Lean::right);
    for (const Outline* roller : {&s.roller_left, &s.roller_right})
        out.body(f.map(lifted(*roller, up_ring)), Tone::panel);
    out.cut(f.map(moved(s.nut, {nut_out, -up_sleeve})), Tone::steel_light, Lean::left);

    const auto face = [&](const Outline& line, bool done) {
        out.line(f.map(line), done ? Pen{Tone::inside, 0.6, Dash::solid} : kHeavy);
    };
    const Outline seat{{s.sleeve_left, s.shaft_top}, {s.sleeve_right, s.shaft_top}};
    face(seat, picture.shaft_done);
    face(lifted(seat, up_sleeve), picture.sleeve_done);
    face(lifted({{s.sleeve_left, s.sleeve[1].y}, {s.sleeve[2].x, s.sleeve[2].y}}, up_sleeve),
         picture.sleeve_done);
    face(lifted(s.bore_contact, up_ring), picture.bore_done);
    const double size = std::clamp(f.length(0.05 * d.bore.value), 1.1, 2.2);
    drop(out,
         f.map(Point{(s.sleeve[2].x + s.sleeve_right) / 2, -d.bore.value / 2 - up_sleeve}) -
             Point{0, size * 3.2},
         size, picture.oiled);

    const double x = area.left + names - 6;
    const double B = s.ring_width;
    leaders(out,
            {{picture.word_bore,
              f.map(Point{s.ring_left + 0.10 * B, (s.bore_contact[0].y + s.inner[1].y) / 2 - up_ring}),
              !picture.bore_done},
             {picture.word_sleeve,
              f.map(Point{(s.sleeve_left + s.ring_left) / 2, (s.shaft_top + s.sleeve[1].y) / 2 - up_sleeve}),
              !picture.sleeve_done},
             {picture.word_shaft, f.map(Point{s.sleeve_left + 0.06 * B, s.shaft_top * 0.72}),
              !picture.shaft_done}},
            x, Side::right, {area.left, y(s.outer_top - up_ring), x, low});
    const Point nut = f.map(Point{s.nut_right + nut_out - 0.05 * d.bore.value, s.nut_top * 0.9 - up_sleeve});
    leaders(out, {{picture.word_nut, nut, false}},
            std::min(nut.x + 5, area.right - out.width_of(picture.word_nut, {}) - 0.2), Side::left,
            {nut.x, nut.y - 4 * row, area.right, nut.y + row});

    const double key  = area.bottom - row / 2;
    const double wide = out.width_of(picture.word_dry, {}) + out.width_of(picture.word_oil, {}) + 22;
    const double k0   = area.left + std::max(0.0, (area.width() - wide) / 2);
    out.line({{k0, key}, {k0 + 6, key}}, kHeavy);
    const Box dry =
        out.words(picture.word_dry, {k0 + 7.5, key}, {Letters::label, false, Tone::ink, Side::left});
    if (dry.right + 8 + out.width_of(picture.word_oil, {}) > area.right) return out;
    drop(out, {dry.right + 6, key - 2.2}, 1.4, picture.oiled);
    out.words(picture.word_oil, {dry.right + 9, key}, {Letters::label, false, Tone::ink, Side::left});
    return out;
}

} // namespace field::drawing
