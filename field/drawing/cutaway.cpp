#include "field/drawing/cutaway.h"

#include "field/drawing/labels.h"
#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace field::drawing {
namespace {

constexpr Lettering kBold{Letters::label, true, Tone::ink, Side::left};

struct Cut {
    Sketch&               out;
    const CutawayPicture& picture;
    BearingSection        s;
    Frame                 frame{};
    double                housing_top{}; // y of the part
    double                shaft_low{};   // y of the part where the shaft is broken off
    double                left_out{};    // of the shaft's radius, not drawn
    bool                  named = true;  // there is room for names beside the section

    void                 shaft() const;
    void                 housing() const;
    void                 bearing() const;
    void                 nut() const;
    void                 focus() const;
    void                 names_left() const;
    void                 names_right() const;
    void                 labels() const;
    void                 motion() const;
    [[nodiscard]] double x(double part) const { return frame.map(Point{part, 0}).x; }
    [[nodiscard]] double y(double part) const { return frame.map(Point{0, part}).y; }
};

// Below the centre line a strip of the shaft is kept, so that the line is seen to be the middle of something.
constexpr double kBelowCentre = 0.13;
// The shaft is solid and the same all the way down: when height is short it is drawn broken, with this much
// of its radius left out at most.
constexpr double kLeftOut = 0.52;

void place(Cut& cut)
{
    const BearingData& d     = cut.picture.bearing;
    const Box&         area  = cut.out.area();
    cut.housing_top          = cut.s.outer_top - (cut.picture.flange ? 0.42 : 0.22) * d.bore.value;
    const double        tool = cut.picture.tool == CutTool::none ? 0.6 : 4.0;
    const Box           room{area.left, area.top + tool, area.right, area.bottom - 0.5};
    const CutawayWords& w     = cut.picture.words;
    const double        names = std::max({cut.out.width_of(w.outer, kBold), cut.out.width_of(w.inner, kBold),
                                          cut.out.width_of(w.sleeve, kBold)});
    double              left  = names + 6,
           right = std::max(cut.out.width_of(w.nut, kBold), cut.out.width_of(w.washer, kBold)) + 7;
    cut.named    = room.width() - left - right > 0.42 * room.width() || room.width() > 85;
    if (!cut.named) left = 4, right = cut.picture.motion == CutMotion::sleeve_out ? 13 : 5;
    const double from  = std::min(cut.s.sleeve_left, cut.s.ring_left - 0.12 * cut.s.ring_width);
    const double wide  = cut.s.sleeve_right - from;
    const double below = kBelowCentre * d.shaft.value, most = kLeftOut * d.shaft.value / 2;
    const double high     = below - cut.housing_top;
    const double by_width = (room.width() - left - right) / wide;
    const double scale    = std::min(by_width, room.height() / (high - most));
    cut.left_out          = std::clamp(high - room.height() / scale, 0.0, most);
    // a tall area: keep more of the shaft rather than leave it empty
    cut.shaft_low =
        below + std::clamp(room.height() / scale - high, 0.0, std::max(0.0, 0.5 * d.shaft.value - below));
    const double used = scale * (cut.shaft_low - cut.left_out - cut.housing_top);
    const double x0   = room.left + left + (room.width() - left - right - scale * wide) / 2;
    const double top  = room.top + (room.height() - used) / 2;
    cut.frame         = Frame(scale, {x0 - scale * from, top - scale * cut.housing_top});
}

void Cut::shaft() const
{
    const Box&   area = out.area();
    const double top = y(s.shaft_top), axis = y(0) - frame.length(left_out),
                 low   = y(shaft_low) - frame.length(left_out);
    const double end   = std::min(area.right - 1.0, x(s.sleeve_right) + std::max(8.0, area.width() * 0.11));
    const double start = area.left + 1.2;
    const double ch    = std::min(2.0, frame.length(picture.bearing.shaft.value * 0.04));
    const auto   piece = [&](const Outline& body) {
        out.fill(body, Tone::steel);
        out.hatch(body, Lean::right, 2.2);
        out.loop(body, kEdge);
    };
    if (left_out <= 0) {
        Outline body = break_line({start, low}, {start, top}, 1.0);
        body.insert(body.end(), {{end - ch, top}, {end, top + ch}, {end, low}});
        piece(body);
    } else { // two pieces, broken apart along the shaft
        const double gap = 1.1, cut = axis - std::max(3.0, (axis - top) * 0.30);
        Outline      upper = break_line({start, cut - gap / 2}, {start, top}, 0.8);
        upper.insert(upper.end(), {{end - ch, top}, {end, top + ch}});
        const Outline wave = break_line({end, cut - gap / 2}, {start, cut - gap / 2}, 0.7);
        upper.insert(upper.end(), wave.begin(), std::prev(wave.end())); // the first point is there already
        piece(upper);
        Outline lower = break_line({start, cut + gap / 2}, {end, cut + gap / 2}, 0.7);
        lower.insert(lower.end(), {{end, low}, {start, low}});
        piece(lower);
    }
    out.line({{area.left, axis}, {area.right, axis}}, kCentre);
}

void Cut::housing() const
{
    const double ring = s.ring_width, top = housing_top, low = s.outer_top, l = s.ring_left, r = s.ring_right;
    if (picture.flange) {
        const double plate = ring * 0.55; // the face that meets the structure looks away from the nut
        out.cut(frame.map(Outline{{l - ring * 0.34, top},
                                  {l - ring * 0.34 + plate, top},
                                  {l - ring * 0.34 + plate, low - ring * 0.42},
                                  {r + ring * 0.05, low - ring * 0.24},
                                  {r + ring * 0.05, low + ring * 0.12},
                                  {r, low + ring * 0.12},
                                  {r, low},
                                  {l, low},
                                  {l, low + ring * 0.12},
                                  {l - ring * 0.34, low + ring * 0.12}}),
                Tone::steel_light, Lean::left);
        return;
    }
    const double over = ring * 0.26, lip = ring * 0.10, step = (low - top) * 0.48;
    const bool   seals = true;
    const double skirt = seals ? ring * 0.10 : 0;
    out.cut(frame.map(Outline{{l - over, top + ring * 0.08},
                              {l - over + ring * 0.08, top},
                              {r + over - ring * 0.08, top},
                              {r + over, top + ring * 0.08},
                              {r + over, top + step},
                              {r + lip, top + step * 1.4},
                              {r + lip, low + skirt},
                              {r, low + skirt},
                              {r, low},
                              {l, low},
                              {l, low + skirt},
                              {l - lip, low + skirt},
                              {l - lip, top + step * 1.4},
                              {l - over, top + step}}),
            Tone::steel_light, Lean::left);
}

void Cut::bearing() const
{
    out.cut(frame.map(s.outer), Tone::steel, Lean::right);
    out.cut(frame.map(s.sleeve), Tone::bronze, Lean::right);
    out.cut(frame.map(s.inner), Tone::steel, Lean::left);
    for (const Outline* roller : {&s.roller_left, &s.roller_right})
        out.body(frame.map(*roller), Tone::panel);
    for (const Outline* axis : {&s.axis_left, &s.axis_right})
        out.line(frame.map(*axis), Pen{Tone::edge, 0.2, Dash::centre});
    if (picture.focus != CutFocus::seals) return;
    for (const Outline* seal : {&s.seal_left, &s.seal_right}) {
        out.fill(frame.map(*seal), Tone::mark_soft);
        out.loop(frame.map(*seal), kHeavy);
    }
}

void Cut::nut() const
{
    out.body(frame.map(s.washer), Tone::steel_dark);
    out.cut(frame.map(s.nut), Tone::steel_light, Lean::left);
    const bool     tab  = picture.focus == CutFocus::tab;
    const Outline& tang = picture.tab_bent ? s.tang_bent : s.tang_up;
    out.body(frame.map(tang), tab ? Tone::mark_soft : Tone::steel_dark, tab ? kHeavyThin : kEdge);
    if (tab && !picture.tab_bent) { // where it will be
        Outline bent = frame.map(s.tang_bent);
        out.line(bent, Pen{Tone::mark, 0.35, Dash::dashed});
    }
}

void Cut::focus() const
{
    switch (picture.focus) {
    case CutFocus::seat:
        out.line(frame.map(s.shaft_contact), kHeavy);
        break;
    case CutFocus::contact_faces:
        out.line(frame.map(s.shaft_contact), kHeavy);
        out.line(frame.map(s.bore_contact), kHeavy);
        break;
    case CutFocus::nut:
        out.loop(frame.map(s.nut), kHeavy);
        break;
    case CutFocus::feeler_gap:
        out.line(frame.map(s.gap_left), kHeavyThin);
        out.line(frame.map(s.gap_right), kHeavyThin);
        break;
    case CutFocus::none:
    case CutFocus::tab:
    case CutFocus::seals:
        break;
    }
}

Point middle_of(const Outline& outline)
{
    return bounds(outline).centre();
}

void Cut::names_left() const
{
    const Box&          area  = out.area();
    const CutawayWords& w     = picture.words;
    const double        ring  = s.ring_width;
    const bool          faces = picture.focus == CutFocus::contact_faces;
    // they share the room over the shaft, beside the housing
    const double names =
        std::max({out.width_of(w.outer, kBold), out.width_of(w.inner, kBold), out.width_of(w.sleeve, kBold)});
    const double x_left =
        std::max(area.left + names + 0.3, x(std::min(s.sleeve_left, s.ring_left - 0.12 * ring)) - 6.0);
    const Box   left{area.left, y(housing_top), x_left, y(s.shaft_top) - 0.5};
    const Point inner_at{s.ring_left + 0.13 * ring, (s.bore_contact[0].y + s.inner[1].y) / 2};
    const Point sleeve_at{(s.sleeve_left + s.ring_left) / 2, (s.shaft_top + s.sleeve[1].y) / 2};
    leaders(out,
            {{w.outer, frame.map(Point{s.ring_left + 0.12 * ring, s.outer_top + 0.10 * ring}), false},
             {w.inner, frame.map(inner_at), faces},
             {w.sleeve, frame.map(sleeve_at), faces}},
            x_left, Side::right, left);
}

void Cut::names_right() const
{
    const Box&          area  = out.area();
    const CutawayWords& w     = picture.words;
    const double        names = std::max(out.width_of(w.nut, kBold), out.width_of(w.washer, kBold));
    const double        at    = std::min(x(s.nut_right) + 6.0, area.right - names - 0.3);
    const bool          tab   = picture.focus == CutFocus::tab || picture.tab_bent;
    std::vector<Leader> right;
    if (tab)
        right.push_back({w.washer, frame.map(middle_of(picture.tab_bent ? s.tang_bent : s.tang_up)),
                         picture.focus == CutFocus::tab});
    right.push_back({w.nut, frame.map(middle_of(s.nut)), picture.focus == CutFocus::nut});
    const double low = picture.motion == CutMotion::sleeve_out ? y(s.shaft_top) - 5.6 : y(s.shaft_top) - 1.0;
    leaders(out, right, at, Side::left, {at, y(s.nut_top) - 3 * out.row(Letters::label), area.right, low});
}

void Cut::labels() const
{
    if (named) names_left(), names_right();
    const CutawayWords& w   = picture.words;
    const double        row = out.row(Letters::label), wide = out.width_of(w.shaft, kBold);
    const double        axis = y(0) - frame.length(left_out), top = y(s.shaft_top);
    const bool          seat  = picture.focus == CutFocus::seat || picture.focus == CutFocus::contact_faces;
    const bool          arrow = picture.motion == CutMotion::ring_up || picture.motion == CutMotion::slide_on;
    if (arrow) { // the arrow has the middle: the name stands before the sleeve
        const double from = x(s.sleeve_left) - 4.0, at = top + 0.4 + row / 2;
        if (from - wide < out.area().left + 2.4) return;
        leaders(out, {{w.shaft, {from + 2.8, at}, seat}}, from, Side::right,
                {out.area().left, at - row / 2, from, at + row / 2});
        return;
    }
    const double low  = left_out > 0 ? axis - std::max(3.0, (axis - top) * 0.30) - 1.5 : y(shaft_low);
    const double text = std::min(low - row / 2, top + 1.5 * row);
    if (text - row / 2 < top + 0.5) return;
    const Point  dot{x(s.ring_right), std::min(text - 1.0, top + 0.5 * (text - top))};
    const double from = dot.x - std::max(14.0, wide + 6);
    leaders(out, {{w.shaft, dot, seat}}, from, Side::right,
            {out.area().left, text - row / 2, out.area().right, text + row / 2});
}

void Cut::motion() const
{
    const Pen    pen{Tone::mark, 1.0, Dash::solid};
    const double under = y(s.shaft_top) + 3.0;
    Point        from, to;
    switch (picture.motion) {
    case CutMotion::none:
        return;
    case CutMotion::sleeve_out:
        from = {x(s.sleeve_right) + 1.5, y(s.shaft_top) - 2.8};
        to   = {std::min(out.area().right, from.x + 12), from.y};
        break;
    case CutMotion::ring_up:
        from = {x(s.ring_right), under}, to = {x(s.ring_left), under};
        break;
    case CutMotion::slide_on:
        from = {x(s.nut_right), under}, to = {x(s.sleeve_left), under};
        break;
    }
    out.arrow({from, to}, pen, 4.2);
    if (picture.motion_says.empty()) return;
    const Lettering how{Letters::label, true, Tone::mark, Side::middle};
    const double    row = out.row(Letters::label), y0 = under + 2.3 + row * 0.42;
    const Point     mid = 0.5 * (from + to);
    (void)out.words_where_free(
        picture.motion_says,
        {{mid.x, y0}, {mid.x, y0 + row}, {mid.x, from.y - 2.3 - row / 2}, {from.x + 14, from.y}}, how);
}

} // namespace

Sketch sketch(const CutawayPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch out(area, metrics);
    Cut    cut{out, picture, bearing_section(picture.bearing), {}, 0, 0, 0, true};
    place(cut);
    cut.shaft();
    cut.housing();
    cut.bearing();
    cut.nut();
    cut.focus();
    cut_tool(out, picture.tool, cut.s, cut.frame);
    cut.motion();
    cut.labels();
    return out;
}

} // namespace field::drawing
