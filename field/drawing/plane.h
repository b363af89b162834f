#pragma once
// Plane geometry under every drawing. A Point is in millimetres: of the part while an outline is worked out
// (x along the shaft or to the right, y down), of the screen once a Frame has mapped it.
#include <vector>

namespace field::drawing {

struct Point {
    double      x{}, y{}; ///< millimetres; y grows downwards
    friend bool operator==(const Point&, const Point&) = default;
};
constexpr Point operator+(Point a, Point b)
{
    return {a.x + b.x, a.y + b.y};
}
constexpr Point operator-(Point a, Point b)
{
    return {a.x - b.x, a.y - b.y};
}
constexpr Point operator*(double k, Point a)
{
    return {k * a.x, k * a.y};
}

using Outline = std::vector<Point>;

struct Box {
    double               left{}, top{}, right{}, bottom{}; ///< millimetres; left <= right, top <= bottom
    [[nodiscard]] double width() const { return right - left; }
    [[nodiscard]] double height() const { return bottom - top; }
    [[nodiscard]] Point  centre() const { return {(left + right) / 2, (top + bottom) / 2}; }
    friend bool          operator==(const Box&, const Box&) = default;
};

/// The box made smaller on every side; it never turns inside out.
[[nodiscard]] Box  inset(const Box& box, double by_mm);
[[nodiscard]] bool overlap(const Box& a, const Box& b);
[[nodiscard]] bool holds(const Box& outer, const Box& inner, double slack_mm = 0.01);
/// The smallest box around the points; an empty outline gives an empty box at the origin.
[[nodiscard]] Box bounds(const Outline& outline);

/// Angles of the drawings: degrees clockwise from twelve o'clock, as the fitter sees the nut.
[[nodiscard]] Point on_circle(Point centre, double radius_mm, double angle_deg);
/// Turns a point about a centre, clockwise on the screen.
[[nodiscard]] Point turned(Point p, Point centre, double angle_deg);

/// One scale for both directions: what is true in proportion stays true.
class Frame {
  public:
    Frame() = default;
    Frame(double scale, Point origin) : scale_(scale), origin_(origin) {}
    [[nodiscard]] Point   map(Point part) const { return origin_ + scale_ * part; }
    [[nodiscard]] Outline map(const Outline& part) const;
    [[nodiscard]] double  length(double part_mm) const { return scale_ * part_mm; }
    [[nodiscard]] double  scale() const { return scale_; }

  private:
    double scale_ = 1.0; ///< screen millimetres per part millimetre
    Point  origin_;      ///< where the part's origin lies on the screen
};

/// Centres the part in the area at the largest scale that fits. A part without extent, or an area without
/// room, is drawn at scale 1 in the middle.
[[nodiscard]] Frame fit(const Box& part, const Box& area);

} // namespace field::drawing
