#include "field/drawing/labels.h"
#include "field/drawing/nut_face.h"
#include "field/drawing/nut_geometry.h"
#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {
namespace {

constexpr double kViewSlotDeep = 0.085, kViewSlotWide = 0.20, kViewTangWide = 0.17,
                 kViewTangOfNut = 1.215; // as nut_face.cpp

double from_top(double angle_deg)
{
    double a = std::fmod(angle_deg, 360.0);
    if (a > 180) a -= 360;
    if (a < -180) a += 360;
    return a;
}

/// Rim of the nut between -show and +show about the tang, slots let in where they stand.
Outline rim_piece(Point centre, double nut, double show_deg, const std::vector<double>& slots_deg)
{
    Outline      out;
    const double half = std::asin(kViewSlotWide / 2) * 180 / 3.14159265358979;
    double       at   = -show_deg;
    const auto   run  = [&](double to) {
        if (to <= at) return;
        const Outline a = arc(centre, nut, at, to);
        out.insert(out.end(), a.begin(), a.end());
    };
    for (const double s : slots_deg) {
        if (s + half < -show_deg || s - half > show_deg) continue;
        run(std::max(-show_deg, s - half));
        out.push_back(on_circle(centre, nut * (1 - kViewSlotDeep), std::max(-show_deg, s - half)));
        out.push_back(on_circle(centre, nut * (1 - kViewSlotDeep), std::min(show_deg, s + half)));
        at = std::min(show_deg, s + half);
    }
    run(show_deg);
    const Outline back = arc(centre, nut * 0.74, show_deg, -show_deg);
    out.insert(out.end(), back.begin(), back.end());
    return out;
}

} // namespace

Sketch sketch(const TabPicture& tab, const Box& area, const Metrics& metrics)
{
    Sketch             out(area, metrics);
    const NutPicture&  n       = tab.nut;
    const TangOverSlot next    = next_tang(n.slots, n.tangs, n.turned);
    const double       tang_at = n.tangs > 0 ? 360.0 * next.tang / n.tangs : 0;
    const double       row     = out.row(Letters::title);
    // the tang in hand with its two neighbours: half of the sector that is shown
    const double show_deg = std::min(36.0, 360.0 / std::max(n.tangs, 1) + 6.5);
    // the sector is as wide as the area allows, the words stand under it
    const double outer_deg =
        std::min(show_deg - 5.5, 360.0 / std::max(n.tangs, 1)) + 5; // far corner of a neighbour
    const double half_wide  = std::max(std::sin(show_deg * 3.14159265358979 / 180),
                                       kViewTangOfNut * std::sin(outer_deg * 3.14159265358979 / 180));
    const double high_share = kViewTangOfNut - 0.74 * std::cos(show_deg * 3.14159265358979 / 180);
    const double nut =
        std::min((area.width() - 2) / 2 / (half_wide), (area.height() - 2.2 * row - 1.2) / high_share);
    const double used = nut * high_share + 2.2 * row;
    const Point  centre{area.centre().x, area.top + (area.height() - used) / 2 + 0.4 + nut * kViewTangOfNut};

    std::vector<double> slots;
    slots.reserve(static_cast<std::size_t>(std::max(n.slots, 0)));
    for (int s = 0; s < n.slots; ++s)
        slots.push_back(from_top(360.0 * s / n.slots + n.turned.value - tang_at));
    std::sort(slots.begin(), slots.end());

    for (int t = 0; t < n.tangs; ++t) {
        const double a = from_top(360.0 * t / n.tangs - tang_at);
        if (std::abs(a) > show_deg - 5.5 || (n.locked && t == next.tang)) continue;
        const bool heavy = t == next.tang;
        out.body(
            tang(centre,
                 {nut * 0.93, nut * kViewTangOfNut, nut * kViewTangWide * 1.08, nut * kViewTangWide * 0.92},
                 engine::Degrees{a}),
            heavy ? Tone::mark_soft : Tone::steel_dark, heavy ? kHeavy : kEdge);
    }
    out.body(rim_piece(centre, nut, show_deg, slots), Tone::steel_light, Pen{Tone::edge, 0.5, Dash::solid});
    out.line(arc(centre, nut * 0.87, -show_deg, show_deg), Pen{Tone::hatch, 0.25, Dash::solid});
    if (n.locked)
        out.body(tang(centre,
                      {nut * (1 - kViewSlotDeep), nut * 1.04, nut * kViewTangWide, nut * kViewTangWide},
                      engine::Degrees{0}),
                 Tone::mark_soft, kHeavy);

    const double gap = next.gap.value;
    if (!n.locked && gap > 0.05 && gap < show_deg) {
        const Pen axis{Tone::mark, 0.35, Dash::dashed};
        out.line({on_circle(centre, nut * 0.78, 0), on_circle(centre, nut * kViewTangOfNut, 0)}, axis);
        out.line({on_circle(centre, nut * 0.78, -gap), on_circle(centre, nut * 0.99, -gap)}, axis);
        // the way the nut has to go; a small gap is pointed at from outside
        const double from = gap > 6 ? -gap : -gap - 9, to = gap > 6 ? 0 : -gap;
        out.arrow(arc(centre, nut * 0.81, from, to), Pen{Tone::mark, 0.9, Dash::solid}, 3.6);
    }
    const std::string says = fixed(gap, 1) + "° " + tab.word_on;
    const double      foot = std::min(area.bottom - row / 2,
                                      centre.y - nut * 0.74 * std::cos(show_deg * 3.14159265358979 / 180) + row);
    if (!n.locked)
        out.words(says, {centre.x, std::max(foot, centre.y - nut * 0.74 + row * 0.7)},
                  {Letters::title, true, Tone::mark, Side::middle});
    return out;
}

} // namespace field::drawing
