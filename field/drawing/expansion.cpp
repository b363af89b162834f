#include "field/drawing/expansion.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {

engine::Millimetres off_middle(const ExpansionPicture& picture)
{
    return (picture.left - picture.right) / 2;
}

namespace {

struct Place {
    double wide, high;  // of the housing's inside, millimetres of screen
    double left, right; // its inner faces
    double axis, shaft; // height of the centre line, radius of the shaft
    double per_mm;      // screen over part, of the gaps
};

void housing(Sketch& out, const Place& p, double wall)
{
    const double top = p.axis - p.high, roof = top - wall * 1.1, lip = p.shaft * 1.35;
    out.cut({{p.left - wall, roof},
             {p.right + wall, roof},
             {p.right + wall, p.axis - lip},
             {p.right, p.axis - lip},
             {p.right, top},
             {p.left, top},
             {p.left, p.axis - lip},
             {p.left - wall, p.axis - lip}},
            Tone::steel_light, Lean::left);
}

void cartridge(Sketch& out, const Place& p, double x0, double x1)
{
    const double top = p.axis - p.high;
    const double in  = top + (p.axis - p.shaft - top) * 0.42;
    out.cut(rectangle({x0, top, x1, in}), Tone::steel, Lean::right, kHeavyThin);
    out.cut(rectangle({x0, in + (p.axis - p.shaft - in) * 0.45, x1, p.axis - p.shaft}), Tone::bronze,
            Lean::right);
    const double w = (x1 - x0) * 0.36, mid = (x0 + x1) / 2, gap = (x1 - x0) * 0.06;
    for (const double s : {-1.0, 1.0}) {
        const double c = mid + s * (w / 2 + gap / 2);
        out.body(rounded({c - w / 2, in - 0.6, c + w / 2, in + (p.axis - p.shaft - in) * 0.45 + 0.6}, 1.2),
                 Tone::panel);
    }
}

} // namespace

Sketch sketch(const ExpansionPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    const double row   = out.row(Letters::label);
    const double wall  = std::min(7.0, area.width() * 0.07);
    const double total = std::max(picture.left.value + picture.right.value, 0.1);
    Place        p{};
    p.wide            = std::min(area.width() - 2 * wall - 6, (area.height() - 3 * row) * 1.35);
    p.left            = area.centre().x - p.wide / 2;
    p.right           = p.left + p.wide;
    const double room = p.wide * 0.44; // both gaps together: the reading is the subject
    p.per_mm          = room / total;
    const double head = 2.2 * row, foot = 1.4 * row;
    const double body  = std::min(area.height() - head - foot - wall * 1.1, p.wide * 0.8);
    p.shaft            = body * 0.26;
    p.high             = body - p.shaft;
    const double slack = std::max(0.0, area.height() - head - foot - wall * 1.1 - body) / 2;
    p.axis             = area.top + head + slack + wall * 1.1 + p.high;
    const double l = picture.read ? picture.left.value : total / 2, r = total - l;
    const double x0 = p.left + l * p.per_mm, x1 = p.right - r * p.per_mm, mid = (x0 + x1) / 2;

    out.body(rectangle({area.left + 1, p.axis - p.shaft, area.right - 1, p.axis + p.shaft}),
             Tone::steel_dark);
    out.line({{area.left, p.axis}, {area.right, p.axis}}, kCentre);
    housing(out, p, wall);
    cartridge(out, p, x0, x1);

    const double roof   = p.axis - p.high - wall * 1.1,
                 target = (p.left + p.right) / 2 + picture.set_off.value * p.per_mm;
    out.line({{target, roof - row * 0.2}, {target, p.axis - p.shaft}}, Pen{Tone::inside, 0.6, Dash::dashed});
    out.fill({{target, roof}, {target - 1.6, roof - 2.6}, {target + 1.6, roof - 2.6}}, Tone::inside);
    out.words(picture.word_target, {target, roof - 2.6 - row / 2},
              {Letters::label, true, Tone::inside, Side::middle});
    out.line({{mid, p.axis - p.high}, {mid, p.axis - p.shaft}}, Pen{Tone::mark, 0.5, Dash::solid});

    const double base = p.axis - p.high * 0.30;
    if (picture.read) {
        const Lettering how{Letters::label, true, Tone::ink, Side::middle};
        const Pen       pen{Tone::ink, 0.3, Dash::solid};
        const double    y = p.axis + p.shaft + row * 0.75;
        for (const auto& [from, to, value] : {std::tuple{p.left, x0, l}, std::tuple{x1, p.right, r}}) {
            if (to - from > 4)
                out.arrow({{(from + to) / 2, base}, {from, base}}, pen, 1.8),
                    out.arrow({{(from + to) / 2, base}, {to, base}}, pen, 1.8);
            out.line({{(from + to) / 2, base}, {(from + to) / 2, y - row / 2}},
                     Pen{Tone::rule, 0.25, Dash::solid});
            out.words(fixed(value, 1) + " " + picture.unit_says, {(from + to) / 2, y}, how);
        }
    }
    if (std::abs(picture.growth.value) > 0.005) {
        const double way = picture.growth.value > 0 ? 1 : -1, from = area.centre().x - way * 5;
        const double length = std::clamp(std::abs(picture.growth.value) * p.per_mm, 5.0, p.wide * 0.5);
        out.arrow({{from, p.axis + p.shaft * 0.5}, {from + way * length, p.axis + p.shaft * 0.5}},
                  Pen{Tone::mark, 1.0, Dash::solid}, 4.0);
        const std::string says =
            picture.word_growth + " " + fixed(std::abs(picture.growth.value), 2) + " " + picture.unit_says;
        (void)out.words_where_free(
            says,
            {{area.centre().x, p.axis + p.shaft + row * 0.75},
             {area.centre().x, p.axis + p.shaft + row * 1.8},
             {area.left + out.width_of(says, {Letters::label, true, Tone::mark, Side::left}) / 2,
              area.top + row / 2}},
            {Letters::label, true, Tone::mark, Side::middle});
    }
    return out;
}

} // namespace field::drawing
