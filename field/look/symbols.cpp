#include "field/look/symbols.h"

#include <array>
#include <cmath>
#include <vector>

namespace field::look {
namespace {

/// Draws in a box from -1 to 1 around the centre.
struct Pen {
    Canvas& canvas;
    Point   centre;
    float   half{};
    Colour  colour;

    [[nodiscard]] Point at(float x, float y) const { return centre + Point{x, y} * half; }
    void                line(std::initializer_list<Point> points, float width, Colour c) const
    {
        std::vector<Point> placed;
        for (const Point p : points)
            placed.push_back(at(p.x, p.y));
        canvas.polyline(placed, {c, width * half});
        for (const Point p : placed) // round ends and joints
            canvas.circle(p, width * half / 2, c);
    }
    void fill(std::initializer_list<Point> points, Colour c) const
    {
        std::vector<Point> placed;
        for (const Point p : points)
            placed.push_back(at(p.x, p.y));
        canvas.fill(placed, c);
    }
    [[nodiscard]] Rect box(float half_side) const
    {
        return {centre.x - half_side * half, centre.y - half_side * half, 2 * half_side * half,
                2 * half_side * half};
    }
};

void inside(const Pen& pen)
{
    pen.canvas.circle(pen.centre, pen.half, pen.colour);
    pen.line({{-0.42F, 0.04F}, {-0.12F, 0.36F}, {0.44F, -0.32F}}, 0.22F, pen.canvas.palette().on_verdict);
}

void undecided(const Pen& pen)
{
    const float d = 1.18F; // a diamond looks smaller than a disc of the same height
    pen.fill({{0, -d}, {d, 0}, {0, d}, {-d, 0}}, pen.colour);
    const Colour mark = pen.canvas.palette().on_verdict;
    const Point  bow  = pen.at(0, -0.2F);
    pen.canvas.arc({bow, 0.27F * pen.half, -95, 140}, {mark, 0.2F * pen.half});
    pen.line({{0.19F, 0.0F}, {0.02F, 0.17F}, {0.0F, 0.26F}}, 0.19F, mark);
    pen.canvas.circle(pen.at(0, 0.54F), 0.13F * pen.half, mark);
}

void outside(const Pen& pen)
{
    const float c = 0.42F;
    pen.fill({{-c, -1}, {c, -1}, {1, -c}, {1, c}, {c, 1}, {-c, 1}, {-1, c}, {-1, -c}}, pen.colour);
    pen.line({{-0.46F, 0}, {0.46F, 0}}, 0.3F, pen.canvas.palette().on_verdict);
}

void held(const Pen& pen)
{
    const Rect       r    = pen.box(0.86F);
    const float      line = 0.17F * pen.half;
    const Rect       in   = r.inset(0.12F * pen.half); // the corners of the frame are round
    const std::array corners{Point{in.x, in.y}, Point{in.right(), in.y}, Point{in.right(), in.bottom()},
                             Point{in.x, in.bottom()}};
    pen.canvas.hatch(corners, {{pen.colour, 0.12F * pen.half}, 0.42F * pen.half, false});
    pen.canvas.frame(r, {pen.colour, line}, 0.24F * pen.half);
}

void not_done(const Pen& pen)
{
    pen.canvas.frame(pen.box(0.86F), {pen.colour, 0.17F * pen.half}, 0.24F * pen.half);
}

void here(const Pen& pen)
{
    pen.fill({{-0.72F, -1}, {0.98F, 0}, {-0.72F, 1}}, pen.colour);
}

void camera(const Pen& pen)
{
    const float line = 0.17F * pen.half;
    const Rect  body{pen.centre.x - 1.25F * pen.half, pen.centre.y - 0.56F * pen.half, 2.5F * pen.half,
                    1.52F * pen.half};
    pen.line({{-0.5F, -0.56F}, {-0.3F, -0.92F}, {0.3F, -0.92F}, {0.5F, -0.56F}}, 0.17F, pen.colour);
    pen.canvas.frame(body, {pen.colour, line}, 0.28F * pen.half);
    pen.canvas.circle_line(pen.at(0, 0.2F), 0.44F * pen.half, {pen.colour, line});
}

void gear(const Pen& pen)
{
    std::vector<Point> rim;
    constexpr int      teeth = 8;
    for (int tooth = 0; tooth < teeth; ++tooth) {
        const float mid = 360.0F / teeth * static_cast<float>(tooth);
        rim.push_back(on_circle(pen.centre, 0.74F * pen.half, mid - 15));
        rim.push_back(on_circle(pen.centre, 1.0F * pen.half, mid - 10));
        rim.push_back(on_circle(pen.centre, 1.0F * pen.half, mid + 10));
        rim.push_back(on_circle(pen.centre, 0.74F * pen.half, mid + 15));
    }
    pen.canvas.outline(rim, {pen.colour, 0.15F * pen.half});
    pen.canvas.circle_line(pen.centre, 0.34F * pen.half, {pen.colour, 0.15F * pen.half});
}

void backspace(const Pen& pen)
{
    const std::array<Point, 5> tag{pen.at(-1.3F, 0), pen.at(-0.6F, -0.8F), pen.at(1.2F, -0.8F),
                                   pen.at(1.2F, 0.8F), pen.at(-0.6F, 0.8F)};
    pen.canvas.outline(tag, {pen.colour, 0.17F * pen.half});
    pen.line({{-0.05F, -0.32F}, {0.6F, 0.32F}}, 0.17F, pen.colour);
    pen.line({{-0.05F, 0.32F}, {0.6F, -0.32F}}, 0.17F, pen.colour);
}

void arrow(const Pen& pen, float clock_deg)
{
    const auto at = [&](float x, float y) { return turned(pen.at(x, y), pen.centre, clock_deg - 90); };
    pen.canvas.line(at(-0.9F, 0), at(0.2F, 0), {pen.colour, 0.26F * pen.half});
    pen.canvas.fill(std::array{at(0.95F, 0), at(0.05F, 0.62F), at(0.05F, -0.62F)}, pen.colour);
}

void hazard(const Pen& pen, Colour mark)
{
    pen.fill({{0, -0.92F}, {1.06F, 0.88F}, {-1.06F, 0.88F}}, pen.colour);
    pen.line({{0, -0.3F}, {0, 0.22F}}, 0.24F, mark);
    pen.canvas.circle(pen.at(0, 0.58F), 0.15F * pen.half, mark);
}

Colour own_colour(Symbol symbol, const Palette& p)
{
    switch (symbol) {
    case Symbol::inside:
        return p.inside;
    case Symbol::undecided:
        return p.watch;
    case Symbol::outside:
        return p.outside;
    case Symbol::not_done:
        return p.steel_edge;
    case Symbol::here:
        return p.act;
    default:
        return p.ink;
    }
}

} // namespace

void draw_symbol(Canvas& canvas, Symbol symbol, Point centre, float size_mm, std::optional<Colour> colour)
{
    const Pen pen{canvas, centre, size_mm / 2, colour.value_or(own_colour(symbol, canvas.palette()))};
    switch (symbol) {
    case Symbol::none:
        return;
    case Symbol::inside:
        return inside(pen);
    case Symbol::undecided:
        return undecided(pen);
    case Symbol::outside:
        return outside(pen);
    case Symbol::held:
        return held(pen);
    case Symbol::not_done:
        return not_done(pen);
    case Symbol::here:
        return here(pen);
    case Symbol::camera:
        return camera(pen);
    case Symbol::gear:
        return gear(pen);
    case Symbol::backspace:
        return backspace(pen);
    case Symbol::arrow_left:
        return arrow(pen, 270);
    case Symbol::arrow_right:
        return arrow(pen, 90);
    case Symbol::arrow_up:
        return arrow(pen, 0);
    case Symbol::arrow_down:
        return arrow(pen, 180);
    }
}

void draw_hazard_triangle(Canvas& canvas, Point centre, float size_mm, const HazardColours& colours)
{
    hazard({canvas, centre, size_mm / 2, colours.letters}, colours.ground);
}

} // namespace field::look
