#include "field/drawing/cutaway.h"

#include "field/drawing/labels.h"
#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {
namespace {

struct Cut {
    Sketch&               out;
    const CutawayPicture& picture;
    BearingSection        s;
    Frame                 frame;
    double                housing_top{}; // y of the part
    double                shaft_low{};   // y of the part where the shaft is broken off

    void                 shaft() const;
    void                 housing() const;
    void                 bearing() const;
    void                 nut() const;
    void                 focus() const;
    void                 labels() const;
    void                 motion() const;
    [[nodiscard]] double x(double part) const { return frame.map(Point{part, 0}).x; }
    [[nodiscard]] double y(double part) const { return frame.map(Point{0, part}).y; }
};

// Below the centre line a strip of the shaft is kept, so that the line is seen to be the middle of something.
constexpr double kBelowCentre = 0.30;

void place(Cut& cut, const Box& area)
{
    const BearingData& d     = cut.picture.bearing;
    const double       rings = -cut.s.outer_top;
    cut.housing_top          = cut.s.outer_top - (cut.picture.flange ? 0.9 : 0.22) * d.bore.value;
    cut.shaft_low            = kBelowCentre * d.shaft.value;
    if (cut.picture.flange) cut.housing_top = cut.s.outer_top - 0.42 * d.bore.value;
    const double tool = cut.picture.tool == CutTool::none ? 0.0 : 4.0;
    const Box    room{area.left, area.top + tool, area.right, area.bottom};
    const double beside = 19.0; // millimetres of screen for the names on each side
    const double wide   = cut.s.sleeve_right - cut.s.sleeve_left;
    const double high   = cut.shaft_low - cut.housing_top;
    double       scale  = std::min((room.width() - 2 * beside) / wide, room.height() / high);
    if (room.width() < 2 * beside + 20) scale = std::min(room.width() / (1.6 * wide), room.height() / high);
    // a tall area would leave the section small: keep more of the shaft instead of scaling beyond the width
    const double spare = room.height() - scale * high;
    cut.shaft_low += std::min(spare / scale, std::max(0.0, d.shaft.value * 0.55 - cut.shaft_low));
    const double used        = scale * (cut.shaft_low - cut.housing_top);
    const double middle_part = (cut.s.sleeve_left + cut.s.sleeve_right) / 2;
    const double top         = room.top + (room.height() - used) / 2;
    cut.frame = Frame(scale, {room.centre().x - scale * middle_part, top - scale * cut.housing_top});
    (void)rings;
}

void Cut::shaft() const
{
    const Box&   area = out.area();
    const double top = y(s.shaft_top), low = y(shaft_low);
    const double end   = std::min(area.right - 1.0, x(s.sleeve_right) + std::max(8.0, area.width() * 0.11));
    const double start = area.left + 1.2;
    const double ch    = std::min(2.0, frame.length(picture.bearing.shaft.value * 0.04));
    Outline      body  = break_line({start, low}, {start, top}, 1.0);
    body.push_back({end - ch, top});
    body.push_back({end, top + ch});
    body.push_back({end, low});
    out.fill(body, Tone::steel);
    out.hatch(body, Lean::right, 2.2);
    out.loop(body, kEdge);
    out.line({{area.left, y(0)}, {area.right, y(0)}}, kCentre);
}

void Cut::housing() const
{
    const double B = s.ring_width, top = housing_top, low = s.outer_top, l = s.ring_left, r = s.ring_right;
    if (picture.flange) {
        const double plate = B * 0.55; // the face that meets the structure looks away from the nut
        out.cut(frame.map(Outline{{l - B * 0.34, top},
                                  {l - B * 0.34 + plate, top},
                                  {l - B * 0.34 + plate, low - B * 0.42},
                                  {r + B * 0.05, low - B * 0.24},
                                  {r + B * 0.05, low + B * 0.12},
                                  {r, low + B * 0.12},
                                  {r, low},
                                  {l, low},
                                  {l, low + B * 0.12},
                                  {l - B * 0.34, low + B * 0.12}}),
                Tone::steel_light, Lean::left);
        return;
    }
    const double over = B * 0.26, lip = B * 0.10, step = (low - top) * 0.48;
    const bool   seals = true;
    const double skirt = seals ? B * 0.10 : 0;
    out.cut(frame.map(Outline{{l - over, top + B * 0.08},
                              {l - over + B * 0.08, top},
                              {r + over - B * 0.08, top},
                              {r + over, top + B * 0.08},
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

void Cut::labels() const
{
    const Box&          area  = out.area();
    const CutawayWords& w     = picture.words;
    const double        B     = s.ring_width;
    const double        row   = out.row(Letters::label);
    const bool          faces = picture.focus == CutFocus::contact_faces;
    // the names on the left share the room over the shaft, beside the housing
    const double left_names =
        std::max({out.width_of(w.outer, {}), out.width_of(w.inner, {}), out.width_of(w.sleeve, {})});
    const double x_left = std::max(area.left + left_names + 0.5, x(s.ring_left - B * 0.30) - 6.0);
    const Box    left{area.left, y(housing_top), x_left, y(s.shaft_top) - 0.5};
    const Point  inner_at{s.ring_left + 0.13 * B, (s.bore_contact[0].y + s.inner[1].y) / 2};
    const Point  sleeve_at{(s.sleeve_left + s.ring_left) / 2, (s.shaft_top + s.sleeve[1].y) / 2};
    leaders(out,
            {{w.outer, frame.map(Point{s.ring_left + 0.12 * B, s.outer_top + 0.10 * B}), false},
             {w.inner, frame.map(inner_at), faces},
             {w.sleeve, frame.map(sleeve_at), faces}},
            x_left, Side::right, left);

    const double        right_names = std::max(out.width_of(w.nut, {}), out.width_of(w.washer, {}));
    const double        x_right     = std::min(x(s.nut_right) + 6.0, area.right - right_names - 0.5);
    std::vector<Leader> right;
    const bool          tab  = picture.focus == CutFocus::tab || picture.tab_bent;
    const Outline&      tang = picture.tab_bent ? s.tang_bent : s.tang_up;
    if (tab) right.push_back({w.washer, frame.map(middle_of(tang)), picture.focus == CutFocus::tab});
    right.push_back({w.nut, frame.map(middle_of(s.nut)), picture.focus == CutFocus::nut});
    leaders(out, right, x_right, Side::left,
            {x_right, y(s.nut_top) - 3 * row, area.right, y(-picture.bearing.bore.value / 2) - 1.0});

    const Point at = frame.map(Point{s.ring_right, s.shaft_top * 0.42});
    const Point text{at.x - std::max(14.0, out.width_of(w.shaft, {}) + 6), at.y + 3.0};
    const bool  seat = picture.focus == CutFocus::seat || faces;
    leaders(out, {{w.shaft, at, seat}}, text.x, Side::right,
            {area.left, text.y - row / 2, area.right, text.y + row / 2});
}

void Cut::motion() const
{
    const Pen    pen{Tone::mark, 1.0, Dash::solid};
    const double under = y(s.shaft_top * 0.78);
    Point        from, to;
    switch (picture.motion) {
    case CutMotion::none:
        return;
    case CutMotion::sleeve_out: {
        const double h = y((s.shaft_top - picture.bearing.bore.value / 2) / 2) - 1.6;
        from           = {x(s.sleeve_right) + 1.5, h};
        to             = {std::min(out.area().right, from.x + 12), h};
        break;
    }
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
    const double    row = out.row(Letters::label);
    const Point     mid = 0.5 * (from + to);
    (void)out.words_where_free(picture.motion_says,
                               {{mid.x, mid.y + row * 0.75},
                                {mid.x - 14, mid.y + row * 0.75},
                                {mid.x, mid.y - row * 0.75},
                                {mid.x - 20, mid.y + row * 0.9}},
                               how);
}

} // namespace

Sketch sketch(const CutawayPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch out(area, metrics);
    Cut    cut{out, picture, bearing_section(picture.bearing), {}, 0, 0};
    place(cut, area);
    cut.shaft();
    cut.housing();
    cut.bearing();
    cut.nut();
    cut.focus();
    cut_tool(out, picture.tool, cut.s, cut.frame);
    cut.labels();
    cut.motion();
    return out;
}

} // namespace field::drawing
