#include "field/drawing/cutaway.h"
#include "field/drawing/shapes.h"

#include <algorithm>

namespace field::drawing {
namespace {

// Tools are as large as hands make them, so they are in millimetres of screen and stand at the place where
// they touch. They are cut short by the area, never scaled with the bearing.
struct Reach {
    double up;    ///< from the touching point to the top of the area
    double right; ///< from it to the right edge
};

Outline shaped(Point tip, double angle_deg, const Outline& upright)
{
    return turned(moved(upright, tip), tip, angle_deg);
}

void blade(Sketch& out, Point tip, const Reach& reach)
{
    const double angle = 28, length = std::clamp(reach.up / 0.95 - 1, 12.0, 34.0);
    const double neck = length * 0.55;
    out.fill(
        shaped(tip, angle, {{-0.35, 0}, {-1.1, -3.5}, {-1.1, -neck}, {1.1, -neck}, {1.1, -3.5}, {0.35, 0}}),
        Tone::ink);
    const Box handle{-2.5, -length, 2.5, -neck};
    out.fill(shaped(tip, angle, rounded(handle, 1.3)), Tone::mark);
}

// The leaf lies along the roller, leaves the bearing beside the outer ring and ends in its handle.
void feeler(Sketch& out, Outline leaf, const Reach& reach)
{
    const Point  edge   = leaf.back();
    const double angle  = 62,
                 length = std::clamp(std::min(reach.right / 0.89, (reach.up - 0.4) / 0.48), 4.0, 26.0);
    const bool room     = length + 9 < std::min((reach.right - 1) / 0.88, (reach.up - 1.6) / 0.47);
    leaf.push_back(on_circle(edge, length, angle));
    out.line(std::move(leaf), kHeavyThin);
    const Box handle{-1.5, -length - 9, 1.5, -length + 1};
    if (room) out.body(shaped(edge, angle, rounded(handle, 1.4)), Tone::mark_soft, kHeavyThin);
}

void hook_spanner(Sketch& out, Point top, const Reach& reach)
{
    const double length = std::clamp(reach.up - 1, 8.0, 30.0);
    out.body({{top.x - 2.0, top.y + 2.2},
              {top.x - 2.0, top.y - length},
              {top.x + 2.0, top.y - length},
              {top.x + 2.0, top.y + 2.2}},
             Tone::mark_soft, kHeavyThin);
    out.fill(rectangle({top.x - 1.1, top.y + 0.6, top.x + 1.1, top.y + 3.2}), Tone::mark);
}

void marker(Sketch& out, Point tip, const Reach& reach)
{
    const double angle = 58, length = std::clamp(reach.right / 0.87 - 1, 10.0, 24.0);
    out.fill(shaped(tip, angle, {{-0.4, -0.3}, {-1.3, -3.2}, {1.3, -3.2}, {0.4, -0.3}}), Tone::mark);
    const Box barrel{-1.8, -length, 1.8, -3.2};
    out.body(shaped(tip, angle, rounded(barrel, 0.8)), Tone::steel_dark);
}

void grease_gun(Sketch& out, Point nipple, const Reach& reach)
{
    const double length = std::clamp(reach.up, 5.0, 16.0);
    out.fill(rectangle({nipple.x - 1.0, nipple.y - 2.0, nipple.x + 1.0, nipple.y}), Tone::edge);
    out.fill(rounded({nipple.x - 2.0, nipple.y - length * 0.5, nipple.x + 2.0, nipple.y - 1.4}, 0.8),
             Tone::mark);
    out.line({{nipple.x, nipple.y - length * 0.5},
              {nipple.x, nipple.y - length * 0.7},
              {nipple.x + 9, nipple.y - length * 0.9}},
             Pen{Tone::mark, 1.2, Dash::solid});
}

} // namespace

void cut_tool(Sketch& sketch, CutTool tool, const BearingSection& section, const Frame& frame)
{
    const auto reach_from = [&](Point p) {
        return Reach{p.y - sketch.area().top, sketch.area().right - p.x};
    };
    const auto at = [&](double x, double y) { return frame.map(Point{x, y}); };
    switch (tool) {
    case CutTool::none:
        return;
    case CutTool::blade: {
        const Point tip = at((section.ring_right + section.nut[0].x) / 2 + 0.3, section.nut_top * 1.02);
        blade(sketch, tip, reach_from(tip));
        return;
    }
    case CutTool::feeler: {
        const Outline gap = frame.map(section.gap_right);
        Outline       leaf(gap.begin() + static_cast<std::ptrdiff_t>(gap.size() / 3), gap.end());
        leaf.push_back({frame.map(Point{section.ring_right, 0}).x, leaf.back().y + 0.4});
        const Reach reach = reach_from(leaf.back());
        feeler(sketch, std::move(leaf), reach);
        return;
    }
    case CutTool::hook_spanner: {
        const Point top = at((section.nut[0].x + section.nut_right) / 2, section.nut_top);
        hook_spanner(sketch, top, reach_from(top));
        return;
    }
    case CutTool::marker: {
        const Point tip = at(section.nut_right, section.nut_top * 0.9);
        marker(sketch, tip, reach_from(tip));
        return;
    }
    case CutTool::grease_gun: {
        const Point nipple =
            at((section.ring_left + section.ring_right) / 2, section.outer_top - 0.5 * section.ring_width);
        grease_gun(sketch, {nipple.x, std::max(nipple.y, sketch.area().top + 7)}, reach_from(nipple));
        return;
    }
    }
}

} // namespace field::drawing
