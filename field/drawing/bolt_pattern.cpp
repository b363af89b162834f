#include "field/drawing/bolt_pattern.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {
namespace {

// Outline of a pillow block from above in a -1..1 square, by common practice: 1.12 wide, .66 deep base.
void pillow(Sketch& out, const Frame& f, bool cap)
{
    const auto box = [&](double l, double t, double r, double b) {
        const Point p = f.map(Point{l, t}), q = f.map(Point{r, b});
        return Box{p.x, p.y, q.x, q.y};
    };
    if (!cap) out.body(rounded(box(-1.3, -0.62, 1.3, 0.62), f.length(0.09)), Tone::steel_light);
    out.body(rounded(cap ? box(-0.95, -0.72, 0.95, 0.72) : box(-0.6, -0.84, 0.6, 0.84),
                     f.length(cap ? 0.16 : 0.3)),
             Tone::steel);
    if (cap) out.body(rounded(box(-0.42, -0.72, 0.42, 0.72), f.length(0.1)), Tone::steel_light);
    out.body(rectangle(box(-0.23, -1.06, 0.23, cap ? -0.72 : 1.06)), Tone::steel_dark);
    if (cap) out.body(rectangle(box(-0.23, 0.72, 0.23, 1.06)), Tone::steel_dark);
    out.line({f.map(Point{0, -1.12}), f.map(Point{0, 1.12})}, kCentre);
}

void flange(Sketch& out, const Frame& f, int count)
{
    const Point  c = f.map(Point{0, 0});
    const double r = f.length(1.06);
    if (count == 4) {
        out.body(rounded({c.x - r, c.y - r, c.x + r, c.y + r}, f.length(0.3)), Tone::steel_light);
    } else {
        out.body(circle(c, r), Tone::steel_light);
    }
    out.body(circle(c, f.length(0.50)), Tone::steel);
    out.cut(circle(c, f.length(0.27)), Tone::steel_dark, Lean::right);
    out.line({f.map(Point{-0.36, 0}), f.map(Point{0.36, 0})}, kCentre);
    out.line({f.map(Point{0, -0.36}), f.map(Point{0, 0.36})}, kCentre);
}

// A dashed path that leaves and reaches the hexagons, not their middles.
void path(Sketch& out, Point from, Point to, double radius)
{
    const Point  d = to - from;
    const double l = std::hypot(d.x, d.y);
    if (l <= 2 * radius) return;
    const double cut = (radius + 0.6) / l;
    out.line({from + cut * d, to - cut * d}, Pen{Tone::mark, 0.5, Dash::dashed});
}

} // namespace

std::vector<Point> bolt_places(BoltedPart part, int count)
{
    std::vector<Point> out;
    const int          n = std::max(count, 0);
    if (part == BoltedPart::flange) {
        const double start = n == 4 ? 45 : 0, r = n == 4 ? 1.05 : 0.8;
        for (int i = 0; i < n; ++i)
            out.push_back(on_circle({0, 0}, r, start + 360.0 * i / n));
        if (n == 4) std::rotate(out.begin(), out.begin() + 3, out.end()); // top left first
        return out;
    }
    const double x = part == BoltedPart::cap ? 0.68 : 0.95;
    if (n == 2) return {{-x, 0}, {x, 0}};
    const double y = 0.34;
    if (n == 4) return {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
    // more bolts: two columns, clockwise from the top left
    const int right = n / 2, left = n - right;
    for (int i = 0; i < right; ++i)
        out.push_back({x, right == 1 ? 0 : -0.5 + 1.0 * i / (right - 1)});
    for (int i = 0; i < left; ++i)
        out.push_back({-x, left == 1 ? 0 : 0.5 - 1.0 * i / (left - 1)});
    return out;
}

Sketch sketch(const BoltPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch      out(area, metrics);
    const bool  round = picture.part == BoltedPart::flange;
    const Box   part  = round ? Box{-1.08, -1.08, 1.08, 1.08}
                              : Box{picture.part == BoltedPart::cap ? -1.0 : -1.32, -1.14,
                                 picture.part == BoltedPart::cap ? 1.0 : 1.32, 1.14};
    const Frame f     = fit(part, inset(area, 0.5));
    const int   n     = static_cast<int>(picture.order.size());
    if (round) {
        flange(out, f, n);
    } else {
        pillow(out, f, picture.part == BoltedPart::cap);
    }
    const std::vector<Point> places = bolt_places(picture.part, n);
    double                   pace   = 1.0; // nearest neighbours decide the size of the hexagons
    for (std::size_t i = 0; i < places.size(); ++i)
        for (std::size_t j = i + 1; j < places.size(); ++j)
            pace = std::min(pace, std::hypot(places[i].x - places[j].x, places[i].y - places[j].y));
    const double radius = std::min({f.length(pace * 0.42), f.length(round ? 0.21 : 0.25), 8.4});
    const auto   at     = [&](int k) {
        const int place = std::clamp(picture.order[static_cast<std::size_t>(k)], 0, n - 1);
        return f.map(places[static_cast<std::size_t>(place)]);
    };
    for (int k = 1; k < n && k <= picture.done && !picture.slack; ++k)
        path(out, at(k - 1), at(k), radius);
    for (int k = 0; k < n; ++k) {
        const bool    done = k < picture.done && !picture.slack, now = k == picture.done && !picture.slack;
        const Outline hex = hexagon(at(k), radius);
        if (done) {
            out.fill(hex, Tone::mark);
        } else {
            out.body(hex, Tone::panel,
                     now ? Pen{Tone::mark, 1.0, Dash::solid} : Pen{Tone::edge, 0.5, Dash::solid});
        }
        const Tone tone = done ? Tone::on_mark : now ? Tone::mark : Tone::soft;
        out.words(std::to_string(k + 1), at(k),
                  {radius > 6 ? Letters::title : Letters::label, true, tone, Side::middle});
    }
    return out;
}

} // namespace field::drawing
