#include "field/drawing/surfaces.h"

#include "field/drawing/labels.h"
#include "field/drawing/shapes.h"

#include <algorithm>
#include <iterator>

namespace field::drawing {
namespace {

constexpr double kApart    = 0.16; // gaps between the parts, of the bore
constexpr double kShaftCut = 0.22; // how much of the shaft is shown under its surface, of its diameter

struct Parts {
    Sketch&               out;
    const SurfacePicture& picture;
    BearingSection        s;
    double                up_sleeve{}, up_ring{}, nut_out{}; ///< how far the parts are pulled away, part mm
    double                names{};                           ///< width of the column of names, screen mm
    Frame                 frame{};

    void place(double legend);
    void metal() const;
    void faces() const;
    void labels() const;
    void legend(bool stacked) const;
};

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
        out.fill(body, Tone::inside);
    } else {
        out.body(body, Tone::mark_soft, kHeavyThin);
    }
}

void Parts::place(double legend)
{
    const BearingData& d    = picture.bearing;
    const Box&         area = out.area();
    const Lettering    bold{Letters::label, true, Tone::ink, Side::left};
    up_sleeve = kApart * d.bore.value, up_ring = 2 * up_sleeve, nut_out = 1.6 * up_sleeve;
    names = std::max({out.width_of(picture.word_shaft, bold), out.width_of(picture.word_sleeve, bold),
                      out.width_of(picture.word_bore, bold)});
    const Box part{s.sleeve_left, s.outer_top - up_ring, s.nut_right + nut_out,
                   s.shaft_top + kShaftCut * d.shaft.value};
    const Box room{area.left + names + 7, area.top + 0.5, area.right - out.width_of(picture.word_nut, {}) - 6,
                   area.bottom - legend};
    frame = fit(part, room);
}

void Parts::metal() const
{
    const Box&   area  = out.area();
    const double top   = frame.map(Point{0, s.shaft_top}).y,
                 low   = frame.map(Point{0, s.shaft_top + kShaftCut * picture.bearing.shaft.value}).y;
    const double end   = std::min(area.right - 1, frame.map(Point{s.nut_right + nut_out, 0}).x + 6);
    Outline      shaft = break_line({area.left + 1.2, low}, {area.left + 1.2, top}, 0.5);
    shaft.insert(shaft.end(), {{end - 1.2, top}, {end, top + 1.2}});
    const Outline wave = break_line({end, low}, {area.left + 1.2, low}, 0.6);
    shaft.insert(shaft.end(), wave.begin(), std::prev(wave.end())); // the first point is there already
    out.fill(shaft, Tone::steel);
    out.hatch(shaft, Lean::right, 2.2);
    out.loop(shaft, kEdge);
    out.cut(frame.map(lifted(s.sleeve, up_sleeve)), Tone::bronze, Lean::right);
    out.cut(frame.map(lifted(s.inner, up_ring)), Tone::steel, Lean::left);
    out.cut(frame.map(lifted(s.outer, up_ring)), Tone::steel, Lean::right);
    for (const Outline* roller : {&s.roller_left, &s.roller_right})
        out.body(frame.map(lifted(*roller, up_ring)), Tone::panel);
    for (const Outline* axis : {&s.axis_left, &s.axis_right})
        out.line(frame.map(lifted(*axis, up_ring)), Pen{Tone::edge, 0.2, Dash::centre});
    out.cut(frame.map(moved(s.nut, {nut_out, -up_sleeve})), Tone::steel_light, Lean::left);
}

void Parts::faces() const
{
    const auto face = [&](const Outline& line, bool done) {
        out.line(frame.map(line), done ? Pen{Tone::inside, 0.6, Dash::solid} : kHeavy);
    };
    const Outline seat{{s.sleeve_left, s.shaft_top}, {s.sleeve_right, s.shaft_top}};
    face(seat, picture.shaft_done);
    face(lifted(seat, up_sleeve), picture.sleeve_done);
    face(lifted({s.sleeve[1], s.sleeve[2]}, up_sleeve), picture.sleeve_done);
    face(lifted(s.bore_contact, up_ring), picture.bore_done);
    const double size = std::clamp(frame.length(0.05 * picture.bearing.bore.value), 1.1, 2.2);
    const Point  thread{(s.sleeve[2].x + s.sleeve_right) / 2, -picture.bearing.bore.value / 2 - up_sleeve};
    drop(out, frame.map(thread) - Point{0, size * 3.2}, size, picture.oiled);
}

void Parts::labels() const
{
    const Box&   area = out.area();
    const double ring = s.ring_width, row = out.row(Letters::label);
    const Point  bore{s.ring_left + 0.10 * ring, (s.bore_contact[0].y + s.inner[1].y) / 2 - up_ring};
    const Point  sleeve{(s.sleeve_left + s.ring_left) / 2, (s.shaft_top + s.sleeve[1].y) / 2 - up_sleeve};
    const Point  shaft{s.sleeve_left + 0.06 * ring,
                      s.shaft_top + kShaftCut * 0.45 * picture.bearing.shaft.value};
    const double x = std::max(area.left + names + 0.3, frame.map(Point{s.sleeve_left, 0}).x - 6);
    leaders(out,
            {{picture.word_bore, frame.map(bore), !picture.bore_done},
             {picture.word_sleeve, frame.map(sleeve), !picture.sleeve_done},
             {picture.word_shaft, frame.map(shaft), !picture.shaft_done}},
            x, Side::right,
            {area.left, area.top, x, std::max(frame.map(shaft).y, frame.map(sleeve).y + row) + row / 2});
    const Point nut = frame.map(
        Point{s.nut_right + nut_out - 0.05 * picture.bearing.bore.value, s.nut_top * 0.9 - up_sleeve});
    leaders(out, {{picture.word_nut, nut, false}},
            std::min(nut.x + 5, area.right - out.width_of(picture.word_nut, {}) - 0.2), Side::left,
            {nut.x, nut.y - 4 * row, area.right, nut.y + row});
}

void Parts::legend(bool stacked) const
{
    const Box&      area = out.area();
    const Lettering how{Letters::label, false, Tone::ink, Side::left};
    const double    row = out.row(Letters::label), dry = out.width_of(picture.word_dry, how),
                 oil  = out.width_of(picture.word_oil, how);
    const double wide = stacked ? std::max(dry, oil) + 8 : dry + oil + 22;
    const double x0 = area.left + std::max(0.0, (area.width() - wide) / 2), y1 = area.bottom - row / 2,
                 y0 = stacked ? y1 - row : y1;
    out.line({{x0, y0}, {x0 + 6, y0}}, kHeavy);
    out.words(picture.word_dry, {x0 + 7.5, y0}, how);
    const double x1 = stacked ? x0 : x0 + dry + 11;
    drop(out, {x1 + 3, y1 - 2.2}, 1.4, picture.oiled);
    out.words(picture.word_oil, {x1 + 7.5, y1}, how);
}

} // namespace

Sketch sketch(const SurfacePicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    Parts        parts{out, picture, bearing_section(picture.bearing)};
    const double wide    = out.width_of(picture.word_dry, {}) + out.width_of(picture.word_oil, {}) + 22;
    const bool   stacked = wide > area.width();
    parts.place(out.row(Letters::label) * (stacked ? 2.2 : 1.2));
    parts.metal();
    parts.faces();
    parts.labels();
    parts.legend(stacked);
    return out;
}

} // namespace field::drawing
