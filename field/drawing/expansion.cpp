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

constexpr double kGapsOfRoom =
    0.44; // both gaps together, of the housing's inside: the reading is the subject

struct Place {
    double left, right; // inner faces of the housing, millimetres of screen
    double roof, inside, shaft,
        low;       // heights: top of the housing, its bore, top of the shaft, its broken edge
    double x0, x1; // faces of the cartridge
    double per_mm; // screen over part, of the gaps
    double wall;
    Frame  frame{}; // of the bearing's section
};

Place place(const ExpansionPicture& picture, const BearingSection& s, const Sketch& out)
{
    const Box&   area  = out.area();
    const double row   = out.row(Letters::label);
    const double total = std::max(picture.left.value + picture.right.value, 0.1);
    const bool   tight = area.width() < 70 || area.height() < 55; // words need a second line
    const double head  = (tight ? 2.15 : 1.15) * row + 3.0,
                 foot  = tight && area.width() < 70 ? 1.15 * row : 0.8;
    Place p{};
    p.wall = std::min({6.0, area.width() * 0.06, area.height() * 0.08});
    // the section keeps its proportion; shaft is cut off below its surface, so the height is ring and wall
    const double strip = std::clamp(area.height() * 0.14, 6.5, 13.0);
    const double body  = s.shaft_top - s.outer_top;
    const double room  = area.height() - head - foot - strip - p.wall;
    const double scale = std::max(
        0.05, std::min(room / body, (area.width() - 2 * p.wall - 4) * (1 - kGapsOfRoom) / s.ring_width));
    const double ring  = scale * s.ring_width;
    const double inner = std::min(ring / (1 - kGapsOfRoom), area.width() - 2 * p.wall - 4);
    p.left             = area.centre().x - inner / 2;
    p.right            = area.centre().x + inner / 2;
    p.per_mm           = (inner - ring) / total;
    const double l     = picture.read ? picture.left.value : total / 2;
    p.x0               = p.left + l * p.per_mm;
    p.x1               = p.x0 + ring;
    p.roof             = area.top + head + std::max(0.0, room - scale * body) / 2;
    p.inside           = p.roof + p.wall;
    p.shaft            = p.inside + scale * body;
    p.low              = p.shaft + strip;
    p.frame            = Frame(scale, {p.x0 - scale * s.ring_left, p.inside - scale * s.outer_top});
    return p;
}

void metal(Sketch& out, const Place& p, const BearingSection& s)
{
    const Box&    area  = out.area();
    Outline       shaft = {{area.left + 0.8, p.shaft}, {area.right - 0.8, p.shaft}};
    const Outline wave  = break_line({area.right - 0.8, p.low}, {area.left + 0.8, p.low}, 0.6);
    shaft.insert(shaft.end(), wave.begin(), wave.end());
    out.fill(shaft, Tone::steel);
    out.loop(shaft, kEdge);
    const double lip = p.frame.map(s.sleeve[1]).y - 0.9; // the sleeve passes under the covers
    out.cut({{p.left - p.wall, p.roof},
             {p.right + p.wall, p.roof},
             {p.right + p.wall, lip},
             {p.right, lip},
             {p.right, p.inside},
             {p.left, p.inside},
             {p.left, lip},
             {p.left - p.wall, lip}},
            Tone::steel_light, Lean::left);
    // the threaded end lies beyond what matters here: the sleeve is cut off where it starts
    const Outline sleeve{s.sleeve[0], s.sleeve[1], s.sleeve[2], {s.sleeve[2].x, s.shaft_top}};
    out.cut(p.frame.map(sleeve), Tone::bronze, Lean::right);
    out.cut(p.frame.map(s.inner), Tone::steel, Lean::left);
    out.cut(p.frame.map(s.outer), Tone::steel, Lean::right, kHeavyThin);
    for (const Outline* roller : {&s.roller_left, &s.roller_right})
        out.body(p.frame.map(*roller), Tone::panel);
    for (const Outline* axis : {&s.axis_left, &s.axis_right})
        out.line(p.frame.map(*axis), Pen{Tone::edge, 0.2, Dash::centre});
}

void gaps(Sketch& out, const ExpansionPicture& picture, const Place& p, double outer_low)
{
    const Lettering how{Letters::label, true, Tone::ink, Side::middle};
    const Pen       pen{Tone::ink, 0.3, Dash::solid};
    const double    row = out.row(Letters::label), y = (p.inside + outer_low) / 2;
    const auto      one = [&](double from, double to, engine::Millimetres gap) {
        const double mid = (from + to) / 2, over = p.roof - 2.0;
        if (to - from > 3.6) {
            out.arrow({{mid, y}, {from, y}}, pen, 1.8);
            out.arrow({{mid, y}, {to, y}}, pen, 1.8);
        }
        const std::string says = fixed(gap.value, 1) + " " + picture.unit_says;
        const double      away = mid < (p.left + p.right) / 2 ? -6.0 : 6.0; // from the word in the middle
        const double      near = over - row / 2, far = p.roof - 3.2 - 1.5 * row;
        if (out.words_where_free(says, {{mid, near}, {mid + away, near}}, how)) {
            out.line({{mid, y}, {mid, over}}, Pen{Tone::ink, 0.2, Dash::solid});
        } else if (out.words_where_free(says, {{mid, far}, {mid + away, far}}, how)) {
            out.line({{mid, y}, {mid, far + row / 2}}, Pen{Tone::ink, 0.2, Dash::solid});
        }
    };
    one(p.left, p.x0, picture.left);
    one(p.x1, p.right, picture.right);
}

void growth(Sketch& out, const ExpansionPicture& picture, const Place& p)
{
    if (std::abs(picture.growth.value) < 0.005) return;
    const double way = picture.growth.value > 0 ? 1 : -1, y = (p.shaft + p.low) / 2;
    const double length =
        std::clamp(std::abs(picture.growth.value) * p.per_mm, 5.0, (p.right - p.left) * 0.45);
    const double from = (p.x0 + p.x1) / 2 - way * (p.x1 - p.x0) * 0.30;
    out.arrow({{from, y}, {from + way * length, y}}, Pen{Tone::mark, 1.0, Dash::solid}, 4.0);
    const Lettering   how{Letters::label, true, Tone::mark, way > 0 ? Side::left : Side::right};
    const std::string says =
        picture.word_growth + " " + fixed(std::abs(picture.growth.value), 2) + " " + picture.unit_says;
    const double row = out.row(Letters::label), after = from + way * (length + 1.6);
    (void)out.words_where_free(
        says, {{after, y}, {way > 0 ? out.area().left + 2 : out.area().right - 2, p.low - row * 0.6}}, how);
}

} // namespace

Sketch sketch(const ExpansionPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch      out(area, metrics);
    BearingData data       = picture.bearing;
    data.travel            = {};
    data.clearance_left    = {};
    const BearingSection s = bearing_section(data);
    const Place          p = place(picture, s, out);
    metal(out, p, s);
    const double target = (p.left + p.right) / 2 + picture.set_off.value * p.per_mm, mid = (p.x0 + p.x1) / 2;
    const double low = p.frame.map(Point{0, s.roller_left.front().y}).y;
    out.line({{mid, p.inside}, {mid, low}}, Pen{Tone::mark, 0.7, Dash::solid});
    out.line({{target, p.roof}, {target, low}}, Pen{Tone::inside, 0.6, Dash::dashed});
    out.fill({{target, p.roof}, {target - 1.6, p.roof - 2.6}, {target + 1.6, p.roof - 2.6}}, Tone::inside);
    const double row = out.row(Letters::label);
    out.words(picture.word_target, {target, p.roof - 2.6 - row / 2},
              {Letters::label, true, Tone::inside, Side::middle});
    if (picture.read) gaps(out, picture, p, low);
    growth(out, picture, p);
    return out;
}

} // namespace field::drawing
