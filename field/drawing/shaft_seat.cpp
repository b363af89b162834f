#include "field/drawing/shaft_seat.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {
namespace {

constexpr Pen kZone{Tone::mark, 0.35, Dash::dashed};

struct Seat {
    Sketch&            out;
    const SeatPicture& picture;
    double             scale{}, left{}, right{}, axis{}, end{}, radius{}; ///< millimetres of screen

    [[nodiscard]] double plane_x(std::size_t i) const
    {
        const auto n = static_cast<double>(std::max<std::size_t>(picture.planes.size(), 1));
        return left + (right - left) * (static_cast<double>(i) + 0.5) / n;
    }
    [[nodiscard]] Outline edge(double side) const;
    void                  shaft() const;
    void                  planes() const;
    void                  section(const Box& room, double middle) const;
};

Outline Seat::edge(double side) const
{
    Outline out_line{{left, axis + side * radius}};
    for (std::size_t i = 0; i < picture.planes.size(); ++i)
        out_line.push_back({plane_x(i), axis + side * (radius + scale * drawn_bulge(picture, i).value)});
    out_line.push_back({right, axis + side * radius});
    return out_line;
}

void Seat::shaft() const
{
    const Box&    area = out.area();
    const double  ch   = std::min(2.0, radius * 0.25);
    Outline       body = break_line({area.left + 1, axis + radius}, {area.left + 1, axis - radius}, 0.9);
    const Outline top  = edge(-1);
    Outline       low  = edge(1);
    body.insert(body.end(), top.begin(), top.end());
    body.insert(body.end(), {{end - ch, axis - radius},
                             {end, axis - radius + ch},
                             {end, axis + radius - ch},
                             {end - ch, axis + radius}});
    std::reverse(low.begin(), low.end());
    body.insert(body.end(), low.begin(), low.end());
    out.fill(body, Tone::steel);
    Outline zone = top;
    zone.insert(zone.end(), low.begin(), low.end());
    out.fill(zone, Tone::mark_soft);
    out.loop(body, Pen{Tone::edge, 0.4, Dash::solid});
    for (const double x : {left, right})
        out.line({{x, axis - radius - 1.6}, {x, axis + radius + 1.6}}, kZone);
    out.line({{area.left, axis}, {std::min(area.right, end + 6), axis}}, kCentre);
}

void Seat::planes() const
{
    const double row = out.row(Letters::instruction);
    for (std::size_t i = 0; i < picture.planes.size(); ++i) {
        const bool   now  = static_cast<int>(i) == picture.plane;
        const bool   done = picture.planes[i].across && picture.planes[i].up;
        const double x    = plane_x(i),
                     over = radius + scale * std::max(0.0, drawn_bulge(picture, i).value) + 2.4;
        const Tone tone   = now || done ? Tone::mark : Tone::edge;
        out.line({{x, axis - over}, {x, axis + over}}, Pen{tone, now ? 1.2 : 0.5, Dash::solid});
        out.words(picture.planes[i].name, {x, axis + over + row / 2},
                  {Letters::instruction, true, tone, Side::middle});
    }
}

// End view of the plane in hand: which way the micrometer lies.
void Seat::section(const Box& room, double middle) const
{
    const double row = out.row(Letters::label);
    const double r   = std::min({radius, room.width() / 2 - 5.0, (room.height() - row) / 2 - 4.0});
    if (r < 3 || picture.plane < 0) return;
    const Point c{room.centre().x, middle};
    out.cut(circle(c, r), Tone::steel, Lean::right);
    const bool  up = picture.direction == Direction::up;
    const Point d  = up ? Point{0, 1} : Point{1, 0};
    for (const double s : {-1.0, 1.0})
        out.arrow({c + (s * (r + 4.6)) * d, c + (s * (r + 0.2)) * d}, Pen{Tone::mark, 0.9, Dash::solid}, 2.6);
    out.line({c - r * d, c + r * d}, Pen{Tone::mark, 0.4, Dash::dashed});
    const double foot = c.y + r + (up ? 4.8 : 1.2) + row / 2;
    out.words(up ? picture.word_up : picture.word_across, {c.x, foot},
              {Letters::label, true, Tone::mark, Side::middle});
}

} // namespace

engine::Millimetres drawn_bulge(const SeatPicture& picture, std::size_t plane)
{
    if (plane >= picture.planes.size()) return {};
    const SeatPlane& p     = picture.planes[plane];
    double           sum   = 0;
    int              count = 0;
    for (const auto& reading : {p.across, p.up})
        if (reading) sum += (reading->value - picture.shaft.value) / 2, ++count;
    if (count == 0) return {};
    // a reading far off is a slip or another shaft: the picture shows its direction, not its size
    const double most = 0.12 * picture.shaft.value;
    return engine::Millimetres{std::clamp(kFormDrawn * sum / count, -most, most)};
}

Sketch sketch(const SeatPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    Seat         s{out, picture};
    const double d = std::max(picture.shaft.value, 1.0), row = out.row(Letters::instruction);
    const double across =
        std::max(std::clamp(area.width() * 0.24, 18.0, 30.0),
                 out.width_of(picture.word_across, {Letters::label, true, Tone::ink, Side::left}) + 2);
    const double below = out.row(Letters::label) + 24;
    const bool   shown = picture.plane >= 0, beside = shown && area.width() > 70;
    const bool   under     = shown && !beside && area.height() > below + 26;
    const double width     = area.width() - (beside ? across + 3 : 0);
    const double high      = area.height() - (under ? below : 0);
    const double long_part = picture.seat_width.value * 1.45 + picture.from_end.value;
    s.scale                = std::min((width - 7) / long_part, (high - 2 * 2.6 - row) / (1.28 * d));
    s.radius               = s.scale * d / 2;
    s.axis                 = area.top + (high - row) / 2;
    // shaft runs on to the left edge, its end keeps the sheet's distance
    const double used = s.scale * long_part;
    s.end             = std::min(area.left + width - 7, area.left + (width - 7 - used) * 0.5 + used);
    s.right           = s.end - s.scale * picture.from_end.value;
    s.left            = s.right - s.scale * picture.seat_width.value;
    s.shaft();
    s.planes();
    if (beside) s.section({area.right - across, area.top, area.right, area.bottom}, s.axis);
    if (under)
        s.section({area.left, area.top + high, area.right, area.bottom},
                  area.bottom - below / 2 - out.row(Letters::label) / 2);
    return out;
}

} // namespace field::drawing
