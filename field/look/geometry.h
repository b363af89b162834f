#pragma once
// Places on the glass in millimetres, measured from the top left corner, x to the right and y down.
#include <cmath>
#include <numbers>

namespace field::look {

/// A place, in millimetres.
struct Point {
    float x{};
    float y{};

    friend constexpr Point operator+(Point a, Point b) { return {a.x + b.x, a.y + b.y}; }
    friend constexpr Point operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y}; }
    friend constexpr Point operator*(Point a, float k) { return {a.x * k, a.y * k}; }
    friend constexpr bool  operator==(Point, Point) = default;
};

/// An upright box: left, top, width and height in millimetres.
struct Rect {
    float x{};
    float y{};
    float w{};
    float h{};

    [[nodiscard]] constexpr float right() const { return x + w; }
    [[nodiscard]] constexpr float bottom() const { return y + h; }
    [[nodiscard]] constexpr Point centre() const { return {x + w / 2, y + h / 2}; }
    [[nodiscard]] constexpr Point top_left() const { return {x, y}; }
    [[nodiscard]] constexpr Rect  inset(float all) const
    {
        return {x + all, y + all, w - 2 * all, h - 2 * all};
    }
    [[nodiscard]] constexpr bool contains(Point p) const
    {
        return p.x >= x && p.x <= right() && p.y >= y && p.y <= bottom();
    }
    [[nodiscard]] constexpr bool contains(const Rect& r) const
    {
        return r.x >= x && r.y >= y && r.right() <= right() && r.bottom() <= bottom();
    }
    /// Cuts a strip off one side and keeps the rest; the gap is left between the two.
    constexpr Rect cut_top(float height, float gap = 0)
    {
        const Rect cut{x, y, w, height};
        y += height + gap;
        h -= height + gap;
        return cut;
    }
    constexpr Rect cut_bottom(float height, float gap = 0)
    {
        h -= height + gap;
        return {x, bottom() + gap, w, height};
    }
    constexpr Rect cut_left(float width, float gap = 0)
    {
        const Rect cut{x, y, width, h};
        x += width + gap;
        w -= width + gap;
        return cut;
    }
    constexpr Rect cut_right(float width, float gap = 0)
    {
        w -= width + gap;
        return {right() + gap, y, width, h};
    }
    friend constexpr bool operator==(const Rect&, const Rect&) = default;
};

/// One cell of an even grid, counted from 0 row by row.
struct Grid {
    int   columns{1};
    int   rows{1};
    float gap_mm{3.0F};
};
[[nodiscard]] constexpr Rect cell(const Rect& area, const Grid& grid, int index)
{
    const auto  columns = static_cast<float>(grid.columns);
    const auto  rows    = static_cast<float>(grid.rows);
    const float w       = (area.w - grid.gap_mm * (columns - 1)) / columns;
    const float h       = (area.h - grid.gap_mm * (rows - 1)) / rows;
    const auto  column  = static_cast<float>(index % grid.columns);
    const int   line    = index / grid.columns;
    const auto  row     = static_cast<float>(line);
    return {area.x + column * (w + grid.gap_mm), area.y + row * (h + grid.gap_mm), w, h};
}

[[nodiscard]] inline float radians(float degrees)
{
    return degrees * std::numbers::pi_v<float> / 180.0F;
}
/// The place `p` after a turn about `about`; clockwise as seen on the glass is positive.
[[nodiscard]] inline Point turned(Point p, Point about, float clockwise_deg)
{
    const float c = std::cos(radians(clockwise_deg));
    const float s = std::sin(radians(clockwise_deg));
    const Point d = p - about;
    return {about.x + d.x * c - d.y * s, about.y + d.x * s + d.y * c};
}
/// The place on a circle at an angle read like a clock: 0 at the top, 90 at the right.
[[nodiscard]] inline Point on_circle(Point centre, float radius_mm, float clock_deg)
{
    return {centre.x + radius_mm * std::sin(radians(clock_deg)),
            centre.y - radius_mm * std::cos(radians(clock_deg))};
}

/// The glass itself. The scale is measured or set by the owner, never taken from what the display claims.
struct ScreenSize {
    int   w_px{1280};
    int   h_px{800};
    float px_per_mm{5.884F}; ///< 10.1 inch, 1280 x 800

    [[nodiscard]] float w_mm() const { return static_cast<float>(w_px) / px_per_mm; }
    [[nodiscard]] float h_mm() const { return static_cast<float>(h_px) / px_per_mm; }
    [[nodiscard]] bool  portrait() const { return h_px > w_px; }
    /// Below 120 mm the tablet is held in the hand and read from half a metre: smaller letters will do.
    [[nodiscard]] bool hand_held() const { return (portrait() ? w_mm() : h_mm()) < 120.0F; }
    [[nodiscard]] Rect area() const { return {0, 0, w_mm(), h_mm()}; }
    friend bool        operator==(const ScreenSize&, const ScreenSize&) = default;
};
inline constexpr ScreenSize kTenInch{1280, 800, 5.884F};
inline constexpr ScreenSize kEightInchUpright{800, 1280, 7.428F};

} // namespace field::look
