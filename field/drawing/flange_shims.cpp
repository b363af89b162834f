#include "field/drawing/flange_shims.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {
namespace {

// A square four-bolt flange by common practice: side 2.9 times the shaft, hub 2, bolt circle 3.1.
constexpr double kSideOfShaft = 2.9, kHubOfShaft = 2.0, kPlateOfSide = 0.11, kHubHigh = 0.26;
constexpr double kShimAtDeg[3] = {0, 240, 120};

Tone tone_of(const FlangePicture& p, std::size_t i)
{
    if (static_cast<int>(i) == p.point) return Tone::mark;
    return p.point < 0 || p.read[i] ? Tone::mark : Tone::steel_dark;
}

void front(Sketch& out, const FlangePicture& p, Point c, double side)
{
    const double h = side / 2;
    if (p.bolts == 4) {
        out.body(rounded({c.x - h, c.y - h, c.x + h, c.y + h}, side * 0.15), Tone::steel_light);
    } else {
        out.body(circle(c, h), Tone::steel_light);
    }
    const double hole = side * 0.052, circle_r = p.bolts == 4 ? h * 1.02 : h * 0.80;
    for (int i = 0; i < p.bolts; ++i) {
        const Point at =
            on_circle(c, circle_r, (p.bolts == 4 ? 45.0 : 180.0 / p.bolts) + 360.0 * i / p.bolts);
        out.body(circle(at, hole), Tone::panel);
        out.fill(circle(at, hole * 0.55), Tone::steel_dark);
    }
    out.body(circle(c, side * kHubOfShaft / kSideOfShaft / 2), Tone::steel);
    out.cut(circle(c, side / kSideOfShaft / 2), Tone::steel, Lean::right);
    const double row = out.row(Letters::instruction);
    for (std::size_t i = 0; i < 3; ++i) {
        const double  a    = kShimAtDeg[i];
        const double  r    = i == 0 || p.bolts != 4 ? h * 0.93 : h * 0.96;
        const Point   at   = on_circle(c, r, a);
        const bool    in   = p.state == ShimState::on_shims;
        const Outline shim = bar(at, side * 0.22, side * 0.09, a);
        if (in) {
            out.fill(shim, tone_of(p, i));
            if (static_cast<int>(i) == p.point)
                out.loop(bar(at, side * 0.22 + 1.6, side * 0.09 + 1.6, a), kHeavyThin);
        } else if (p.state == ShimState::shims_out) {
            out.loop(shim, Pen{Tone::mark, 0.35, Dash::solid});
        }
        if (p.state == ShimState::on_face) continue;
        const Point text = i == 0 ? Point{c.x, c.y - h - row * 0.55}
                                  : Point{c.x + (i == 1 ? -1 : 1) * (h + row * 0.45), at.y};
        out.words(std::to_string(i + 1), text, {Letters::instruction, true, Tone::mark, Side::middle});
    }
}

void side_view(Sketch& out, const FlangePicture& p, const Box& room, double side)
{
    const double h = side / 2, wall = std::min(side * 0.17, room.width() * 0.25);
    const double gap   = gap_left(p).value * kGapDrawn * side / (kSideOfShaft * p.shaft.value);
    const double full  = p.shim.value * kGapDrawn * side / (kSideOfShaft * p.shaft.value);
    const double plate = side * kPlateOfSide, hub = side * kHubHigh;
    const double left = room.centre().x - (wall + full + plate + hub) / 2, y = room.centre().y;
    const double face = left + wall, f0 = face + gap, f1 = f0 + plate, f2 = f1 + hub * 0.55;
    const double high = h * kHubOfShaft / kSideOfShaft, shaft = h / kSideOfShaft;
    // shaft first: it runs through structure and flange
    out.cut(rectangle({left, y - h * 1.08, face, y - shaft * 1.15}), Tone::steel_light, Lean::left);
    out.cut(rectangle({left, y + shaft * 1.15, face, y + h * 1.08}), Tone::steel_light, Lean::left);
    out.body({{f0, y - h * 0.94},
              {f1, y - h * 0.94},
              {f1, y - high},
              {f2, y - high * 0.62},
              {f2, y + high * 0.62},
              {f1, y + high},
              {f1, y + h * 0.94},
              {f0, y + h * 0.94}},
             Tone::steel);
    out.body(rectangle({left - 1.5, y - shaft, std::min(room.right, f2 + hub * 0.4), y + shaft}),
             Tone::steel_dark);
    out.line({{left - 2.5, y}, {std::min(room.right, f2 + hub * 0.4 + 1), y}}, kCentre);
    if (p.state == ShimState::on_shims)
        for (const double at : {-0.80, 0.62})
            out.fill(rectangle({face, y + h * at - side * 0.05, f0, y + h * at + side * 0.05}), Tone::mark);
    const double      base = y + h * 1.08 + 3.0;
    const std::string says = fixed(gap_left(p).value, 2) + " " + p.unit_says;
    if (gap > 0.05) {
        dimension(out, {face, base}, {f0, base}, says);
    } else {
        out.line({{face, y - h * 0.94}, {face, y + h * 0.94}}, kHeavy);
        out.words(says, {face, base + out.row(Letters::label) / 2},
                  {Letters::label, true, Tone::ink, Side::middle});
    }
    if (p.state == ShimState::shims_out && gap > 0.05)
        out.arrow({{f2 + hub * 0.4 + 1, y - high}, {f1 + 1.5, y - high}}, kHeavy, 3.4);
}

} // namespace

engine::Millimetres gap_left(const FlangePicture& picture)
{
    if (picture.state == ShimState::on_face) return {};
    if (picture.state == ShimState::on_shims) return picture.shim;
    return std::max(engine::Millimetres{0}, picture.shim - picture.travel);
}

Sketch sketch(const FlangePicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    const double row  = out.row(Letters::instruction);
    const double foot = 3.0 + 1.8 + out.row(Letters::label);
    // beside each other or one under the other: whichever shows the flange larger
    const double beside = std::min(area.height() - row - foot, (area.width() - 2 * row - 3) / 1.62);
    const double under  = std::min((area.height() - 2 * row - foot) / 2.05, area.width() - 2 * row - 2);
    if (beside >= under) {
        const double side  = std::max(6.0, beside);
        const double wide  = side + 2 * row + 1;
        const double spare = std::max(0.0, area.width() - wide - side * 0.62) / 3;
        const Point  c{area.left + spare + wide / 2,
                      area.top + row + side / 2 + std::max(0.0, (area.height() - row - foot - side) / 2)};
        front(out, picture, c, side);
        side_view(out, picture, {c.x + wide / 2, c.y - side / 2, area.right, c.y + side / 2}, side * 0.92);
    } else {
        const double side = std::max(6.0, under);
        const double used = side * 2.0 + 2 * row + foot;
        const double top  = area.top + std::max(0.0, (area.height() - used) / 2);
        const Point  c{area.centre().x, top + row + side / 2};
        front(out, picture, c, side);
        const double y = c.y + side / 2 + row * 0.8;
        side_view(out, picture, {area.left, y, area.right, y + side}, side * 0.9);
    }
    return out;
}

} // namespace field::drawing
