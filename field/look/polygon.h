#pragma once
// Plane geometry behind the canvas, on its own so that it can be tested without a window.
#include "field/look/geometry.h"

#include <array>
#include <cstddef>
#include <span>
#include <utility>
#include <vector>

namespace field::look {

/// Twice the area; positive when the corners run clockwise on the glass (y down).
[[nodiscard]] float doubled_area(std::span<const Point> polygon);
[[nodiscard]] bool  is_convex(std::span<const Point> polygon);
/// Triangles (indices into the polygon, clockwise on the glass) that fill a simple polygon, by cutting off
/// ears. A polygon that crosses itself gives the triangles found until no ear was left.
[[nodiscard]] std::vector<std::array<std::size_t, 3>> triangles_of(std::span<const Point> polygon);
/// Lines at 45 degrees inside the polygon by the even-odd rule, `gap_mm` apart, anchored to the corner of the
/// glass.
[[nodiscard]] std::vector<std::pair<Point, Point>> section_lines(std::span<const Point> polygon, float gap_mm,
                                                                 bool leans_left);

} // namespace field::look
