#include "field/drawing/nut_face.h"

#include "field/drawing/nut_geometry.h"
#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {
namespace {

// Proportions of nut KM 10 and washer MB 10 on a 50 mm thread (ISO 2982-2:2013, from memory), on radii.
constexpr double kNutOfBore  = 1.40;
constexpr double kTangOfNut  = 1.215;
constexpr double kSlotDeep   = 0.085; // of the nut's radius
constexpr double kSlotWide   = 0.20;
constexpr double kTangWide   = 0.17;
constexpr double kNutOfScale = 0.555; // nut radius over the radius of the scale

struct Face {
    Sketch&              out;
    const NutPicture&    picture;
    NutPlace             at;
    double               nut{}, thread{}, shaft{}; // radii
    [[nodiscard]] double ring() const { return at.knob_radius_mm; }
    [[nodiscard]] double half_ring() const { return 0.052 * at.scale_radius_mm; }

    void scale() const;
    void progress() const;
    void band(int lap) const;
    void washer() const;
    void body() const;
    void marks() const;
    void knob() const;
};

void Face::scale() const
{
    const double r = at.scale_radius_mm;
    for (int a = 0; a < 360; a += 5) {
        const bool   quarter = a % 90 == 0, main = a % 15 == 0;
        const double length = quarter ? 0.075 * r : main ? 0.045 * r : 0.026 * r;
        const Pen    pen{Tone::edge, quarter ? 0.4 : 0.22, Dash::solid};
        out.line({on_circle(at.centre, r, a), on_circle(at.centre, r - length, a)}, pen);
    }
    const double    row = out.row(Letters::label), gap = 0.8;
    const Lettering how{Letters::label, false, Tone::soft, Side::middle};
    out.words("0 / 360", {at.centre.x, at.centre.y - r - row / 2}, how);
    out.words("180", {at.centre.x, at.centre.y + r + row / 2}, how);
    out.words("90", {at.centre.x + r + gap, at.centre.y}, {Letters::label, false, Tone::soft, Side::left});
    out.words("270", {at.centre.x - r - gap, at.centre.y}, {Letters::label, false, Tone::soft, Side::right});
}

void Face::band(int lap) const
{
    const double lo = picture.turn_min.value, hi = picture.turn_max.value;
    if (hi <= lo) return;
    const Outline piece = sector(at.centre, {ring() - half_ring(), ring() + half_ring()}, lo, hi);
    const bool    now   = hi >= 360.0 * lap && lo < 360.0 * (lap + 1);
    if (now) out.fill(piece, Tone::inside);
    const Outline frame = sector(at.centre, {ring() - half_ring(), ring() + half_ring()}, lo, hi);
    out.loop(frame, Pen{Tone::inside, now ? 0.5 : 0.8, Dash::solid});
}

void Face::progress() const
{
    const double  h    = half_ring();
    const Laps    laps = laps_of(picture.turned);
    const Radii   full{ring() - h, ring() + h};
    const Outline track = sector(at.centre, full, 0, 360);
    out.fill(sector(at.centre, full, 0, 180), laps.full > 0 ? Tone::mark_soft : Tone::steel);
    out.fill(sector(at.centre, full, 180, 360), laps.full > 0 ? Tone::mark_soft : Tone::steel);
    if (laps.full > 0) { // the laps behind us stay in sight as an inner ring
        out.fill(sector(at.centre, {ring() - h * 1.9, ring() - h * 1.2}, 0, 180), Tone::mark);
        out.fill(sector(at.centre, {ring() - h * 1.9, ring() - h * 1.2}, 180, 360), Tone::mark);
    }
    band(laps.full);
    if (laps.rest.value > 0.05) {
        const double end = laps.rest.value, half = std::min(end, 180.0);
        out.fill(sector(at.centre, full, 0, half), Tone::mark);
        if (end > 180) out.fill(sector(at.centre, full, 180, end), Tone::mark);
    }
    const Laps behind = laps_of(picture.recorded);
    if (picture.recorded.value > 0 && behind.full == laps.full && behind.rest.value > 0.5) {
        const Outline blocked = sector(at.centre, full, 0, std::min(behind.rest.value, laps.rest.value));
        out.hatch(blocked, Lean::right, 1.3, Tone::on_mark);
        out.line({on_circle(at.centre, full.inner_mm, behind.rest.value),
                  on_circle(at.centre, full.outer_mm + h * 0.8, behind.rest.value)},
                 Pen{Tone::ink, 0.6, Dash::solid});
    }
    // the band stays readable when the arc has run over it
    const double lo = picture.turn_min.value, hi = picture.turn_max.value;
    if (hi > lo && picture.turned.value > lo)
        out.loop(sector(at.centre, {full.inner_mm - 0.4, full.outer_mm + 0.4}, lo, hi),
                 Pen{Tone::inside, 0.8, Dash::solid});
    (void)track;
}

TangShape tang_shape(double nut)
{
    return {nut * 0.96, nut * kTangOfNut, nut * kTangWide * 1.08, nut * kTangWide * 0.92};
}

void Face::washer() const
{
    const TangOverSlot next = next_tang(picture.slots, picture.tangs, picture.turned);
    for (int t = 0; t < picture.tangs; ++t) {
        if (picture.locked && t == next.tang) continue;
        out.body(tang(at.centre, tang_shape(nut), engine::Degrees{360.0 * t / picture.tangs}),
                 Tone::steel_dark);
    }
}

void Face::body() const
{
    const NutShape shape{picture.slots, nut, thread, nut * kSlotDeep, nut * kSlotWide};
    out.body(nut_rim(at.centre, shape, picture.turned), Tone::steel_light, Pen{Tone::edge, 0.4, Dash::solid});
    out.loop(circle(at.centre, nut * 0.87), Pen{Tone::hatch, 0.2, Dash::solid});
    if (picture.locked) {
        const TangOverSlot next = next_tang(picture.slots, picture.tangs, picture.turned);
        const TangShape    bent{nut * (1 - kSlotDeep), nut * 1.03, nut * kTangWide, nut * kTangWide};
        out.body(tang(at.centre, bent, engine::Degrees{360.0 * next.tang / picture.tangs}), Tone::mark_soft,
                 kHeavyThin);
    }
    out.body(circle(at.centre, thread), Tone::steel_dark);
    out.loop(circle(at.centre, (thread * 2 + shaft) / 3), Pen{Tone::edge, 0.3, Dash::dashed});
    const Outline end = circle(at.centre, shaft);
    out.cut(end, Tone::steel, Lean::right);
    out.fill(circle(at.centre, 0.7), Tone::edge);
}

void Face::marks() const
{
    if (!picture.marked) return;
    const Pen pen{Tone::mark, 1.2, Dash::solid};
    out.line({on_circle(at.centre, shaft * 0.55, 0), on_circle(at.centre, shaft * 0.96, 0)}, pen);
    const double a = picture.turned.value;
    out.line({on_circle(at.centre, thread * 1.05, a), on_circle(at.centre, nut * 0.95, a)}, pen);
}

void Face::knob() const
{
    if (!picture.knob) return;
    const Point  p = on_circle(at.centre, ring(), picture.turned.value);
    const double r = std::min(std::max(3.4, half_ring() * 1.7), 0.155 * at.scale_radius_mm + 0.4);
    out.body(circle(p, r), Tone::panel, kHeavy);
}

Face make_face(Sketch& out, const NutPicture& picture, const Box& area, const Metrics& metrics)
{
    Face f{out, picture, nut_place(area, metrics)};
    f.nut              = kNutOfScale * f.at.scale_radius_mm;
    f.thread           = f.nut / kNutOfBore;
    const double share = picture.bore.value > 0 ? picture.shaft.value / picture.bore.value : 0.9;
    f.shaft            = f.thread * std::clamp(share, 0.5, 0.95);
    return f;
}

} // namespace

NutPlace nut_place(const Box& area, const Metrics& metrics)
{
    const double row  = metrics.label_cap_mm / 0.6255;
    const double side = metrics.width("270", Letters::label, false) + 1.2;
    const double r    = std::max(6.0, std::min(area.height() / 2 - row, area.width() / 2 - side));
    return {area.centre(), 0.845 * r, r};
}

std::string turned_words(const NutPicture& picture)
{
    const Laps  laps = laps_of(engine::Degrees{std::round(picture.turned.value)});
    std::string rest = fixed(laps.rest.value, 0) + "°";
    if (laps.full == 0) return rest;
    return std::to_string(laps.full) + " " + (laps.full == 1 ? picture.word_turn : picture.word_turns) +
           " + " + rest;
}

Sketch sketch(const NutPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch     out(area, metrics);
    const Face face = make_face(out, picture, area, metrics);
    face.progress();
    face.scale();
    face.washer();
    face.body();
    face.marks();
    face.knob();
    if (picture.tell_laps && laps_of(picture.turned).full > 0) {
        const double    row = out.row(Letters::label);
        const Lettering how{Letters::label, true, Tone::mark, Side::left};
        const Lettering back{Letters::label, true, Tone::mark, Side::right};
        if (!out.words_where_free(turned_words(picture),
                                  {{area.left, area.bottom - row / 2}, {area.left, area.top + row / 2}}, how))
            (void)out.words_where_free(turned_words(picture), {{area.right, area.bottom - row / 2}}, back);
    }
    return out;
}

} // namespace field::drawing
