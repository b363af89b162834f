#include "field/look/polygon.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace field::look {
namespace {

float cross(Point o, Point a, Point b)
{
    return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

bool inside(Point p, const std::array<Point, 3>& t)
{
    return cross(t[0], t[1], p) >= 0 && cross(t[1], t[2], p) >= 0 && cross(t[2], t[0], p) >= 0;
}

bool is_ear(std::span<const Point> polygon, const std::vector<std::size_t>& left, std::size_t at)
{
    const std::size_t          n    = left.size();
    const std::size_t          prev = (at + n - 1) % n;
    const std::size_t          next = (at + 1) % n;
    const std::array<Point, 3> t{polygon[left[prev]], polygon[left[at]], polygon[left[next]]};
    if (cross(t[0], t[1], t[2]) <= 0) return false;
    for (std::size_t i = 0; i < n; ++i) {
        if (i == prev || i == at || i == next) continue;
        const Point p = polygon[left[i]];
        if (p == t[0] || p == t[1] || p == t[2]) continue;
        if (inside(p, t)) return false;
    }
    return true;
}

} // namespace

float doubled_area(std::span<const Point> polygon)
{
    float sum = 0;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Point a = polygon[i];
        const Point b = polygon[(i + 1) % polygon.size()];
        sum += a.x * b.y - b.x * a.y;
    }
    return sum;
}

bool is_convex(std::span<const Point> polygon)
{
    const std::size_t n     = polygon.size();
    bool              left  = false;
    bool              right = false;
    for (std::size_t i = 0; i < n; ++i) {
        const float c = cross(polygon[i], polygon[(i + 1) % n], polygon[(i + 2) % n]);
        left          = left || c < 0;
        right         = right || c > 0;
    }
    return !(left && right);
}

std::vector<std::array<std::size_t, 3>> triangles_of(std::span<const Point> polygon)
{
    std::vector<std::array<std::size_t, 3>> triangles;
    if (polygon.size() < 3) return triangles;
    std::vector<std::size_t> left(polygon.size());
    std::iota(left.begin(), left.end(), 0U);
    if (doubled_area(polygon) < 0) std::reverse(left.begin(), left.end());
    while (left.size() > 2) {
        std::size_t at = 0;
        while (at < left.size() && !is_ear(polygon, left, at))
            ++at;
        if (at == left.size()) { // no ear: drop a corner that lies in line with its neighbours, or give up
            const auto flat = [&](std::size_t i) {
                const std::size_t n = left.size();
                return std::abs(cross(polygon[left[(i + n - 1) % n]], polygon[left[i]],
                                      polygon[left[(i + 1) % n]])) < 1e-6F;
            };
            at = 0;
            while (at < left.size() && !flat(at))
                ++at;
            if (at == left.size()) return triangles;
        } else {
            const std::size_t n = left.size();
            triangles.push_back({left[(at + n - 1) % n], left[at], left[(at + 1) % n]});
        }
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(at));
    }
    return triangles;
}

std::vector<std::pair<Point, Point>> section_lines(std::span<const Point> polygon, float gap_mm,
                                                   bool leans_left)
{
    std::vector<std::pair<Point, Point>> lines;
    if (polygon.size() < 3 || gap_mm <= 0) return lines;
    const float sign         = leans_left ? -1.0F : 1.0F; // x + y is constant along "/", x - y along "\"
    const auto  rank         = [sign](Point p) { return p.x + sign * p.y; };
    const auto [low, high]   = std::minmax_element(polygon.begin(), polygon.end(),
                                                   [&](Point a, Point b) { return rank(a) < rank(b); });
    const float        step  = gap_mm * std::numbers::sqrt2_v<float>;
    const int          first = static_cast<int>(std::ceil(rank(*low) / step));
    const int          last  = static_cast<int>(std::floor(rank(*high) / step));
    std::vector<Point> hits;
    for (int k = first; k <= last; ++k) {
        const float at = static_cast<float>(k) * step;
        hits.clear();
        for (std::size_t i = 0; i < polygon.size(); ++i) {
            const Point a = polygon[i];
            const Point b = polygon[(i + 1) % polygon.size()];
            if ((rank(a) <= at) == (rank(b) <= at)) continue;
            hits.push_back(a + (b - a) * ((at - rank(a)) / (rank(b) - rank(a))));
        }
        std::sort(hits.begin(), hits.end(), [](Point a, Point b) { return a.x < b.x; });
        for (std::size_t i = 0; i + 1 < hits.size(); i += 2)
            lines.emplace_back(hits[i], hits[i + 1]);
    }
    return lines;
}

} // namespace field::look
