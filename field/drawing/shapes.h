#pragma once
// Outlines that more than one drawing needs, and the dimension line. All in millimetres; angles in degrees
// clockwise from twelve o'clock.
#include "field/drawing/sketch.h"

namespace field::drawing {

[[nodiscard]] Outline rectangle(const Box& box);
[[nodiscard]] Outline rounded(const Box& box, double radius_mm);
[[nodiscard]] Outline circle(Point centre, double radius_mm);
/// Points of an arc from one angle on to the other, clockwise when to_deg is larger.
[[nodiscard]] Outline arc(Point centre, double radius_mm, double from_deg, double to_deg);
struct Radii {
    double inner_mm, outer_mm;
};
/// The piece of a ring between two angles.
[[nodiscard]] Outline sector(Point centre, Radii radii, double from_deg, double to_deg);
/// A hexagon with two corners left and right, radius over the corners.
[[nodiscard]] Outline hexagon(Point centre, double radius_mm);
/// A rectangle about its centre, turned clockwise.
[[nodiscard]] Outline bar(Point centre, double long_mm, double wide_mm, double angle_deg);
[[nodiscard]] Outline turned(const Outline& outline, Point centre, double angle_deg);
[[nodiscard]] Outline moved(const Outline& outline, Point by);
/// A wavy break line from one point to the other.
[[nodiscard]] Outline break_line(Point from, Point to, double swing_mm);

/// A dimension between two points on one horizontal line: arrows from outside when the gap is narrow, and
/// the words under the line.
void dimension(Sketch& sketch, Point from, Point to, const std::string& text);

} // namespace field::drawing
