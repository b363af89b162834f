#include "engine/fit/edge_points.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr int         kReducedSide = 640;
constexpr std::size_t kMostPoints  = 6000;
constexpr double      kKeptShare   = 0.12; // of the pixels, before thinning
constexpr float       kLeast       = 1.5F; // grey levels per px: below it is the grain of the picture

struct Plane {
    int                width = 0, height = 0;
    std::vector<float> values;

    Plane(int w, int h)
        : width(w), height(h), values(static_cast<std::size_t>(w) * static_cast<std::size_t>(h))
    {
    }
    [[nodiscard]] std::size_t at(int x, int y) const
    {
        return static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x);
    }
    [[nodiscard]] float operator()(int x, int y) const { return values[at(x, y)]; }
};

/// Means of scale x scale pixels; what is left over at right and below is dropped.
Plane reduced(const GreyImage& image, int scale)
{
    Plane                      out(image.width / scale, image.height / scale);
    std::vector<std::uint32_t> sums(static_cast<std::size_t>(out.width));
    const auto                 row_size = static_cast<std::size_t>(image.width);
    const float                share    = 1.0F / static_cast<float>(scale * scale);
    for (int y = 0; y < out.height; ++y) {
        std::fill(sums.begin(), sums.end(), 0U);
        for (int j = 0; j < scale; ++j) {
            const std::uint8_t* in = image.pixels.data() + static_cast<std::size_t>(y * scale + j) * row_size;
            for (std::uint32_t& sum : sums)
                for (int i = 0; i < scale; ++i)
                    sum += *in++;
        }
        for (int x = 0; x < out.width; ++x)
            out.values[out.at(x, y)] = static_cast<float>(sums[static_cast<std::size_t>(x)]) * share;
    }
    return out;
}

/// Binomial smoothing 1 4 6 4 1 in one direction; the border is repeated.
Plane smoothed(const Plane& in, int step_x, int step_y)
{
    Plane      out(in.width, in.height);
    const auto value = [&](int x, int y) {
        return in(std::clamp(x, 0, in.width - 1), std::clamp(y, 0, in.height - 1));
    };
    for (int y = 0; y < in.height; ++y)
        for (int x = 0; x < in.width; ++x)
            out.values[out.at(x, y)] =
                (value(x - 2 * step_x, y - 2 * step_y) + value(x + 2 * step_x, y + 2 * step_y) +
                 4 * (value(x - step_x, y - step_y) + value(x + step_x, y + step_y)) + 6 * in(x, y)) /
                16;
    return out;
}

struct Gradient {
    Plane along, down, size;
};

Gradient gradient_of(const Plane& in)
{
    Gradient g{Plane(in.width, in.height), Plane(in.width, in.height), Plane(in.width, in.height)};
    for (int y = 1; y + 1 < in.height; ++y)
        for (int x = 1; x + 1 < in.width; ++x) {
            const auto  i     = in.at(x, y);
            const float gx    = (in(x + 1, y) - in(x - 1, y)) / 2;
            const float gy    = (in(x, y + 1) - in(x, y - 1)) / 2;
            g.along.values[i] = gx, g.down.values[i] = gy, g.size.values[i] = std::sqrt(gx * gx + gy * gy);
        }
    return g;
}

/// The strength only the strongest kKeptShare of the pixels reach.
float threshold_of(const Plane& size)
{
    std::vector<float> all(size.values);
    const auto         place =
        all.begin() + static_cast<std::ptrdiff_t>((1 - kKeptShare) * static_cast<double>(all.size()));
    std::nth_element(all.begin(), place, all.end());
    return std::max(*place, kLeast);
}

/// Size between pixels, bilinear; x and y at least one px inside.
float between_pixels(const Plane& size, float x, float y)
{
    const int   left = static_cast<int>(x), top = static_cast<int>(y);
    const float u = x - static_cast<float>(left), v = y - static_cast<float>(top);
    return (size(left, top) * (1 - u) + size(left + 1, top) * u) * (1 - v) +
           (size(left, top + 1) * (1 - u) + size(left + 1, top + 1) * u) * v;
}

} // namespace

EdgePoints edge_points(const GreyImage& image)
{
    EdgePoints found;
    found.scale       = std::max(1, (std::max(image.width, image.height) + kReducedSide - 1) / kReducedSide);
    const Plane small = smoothed(smoothed(reduced(image, found.scale), 1, 0), 0, 1);
    found.width = small.width, found.height = small.height;
    const Gradient g         = gradient_of(small);
    const float    threshold = threshold_of(g.size);
    for (int y = 3; y + 3 < small.height; ++y)
        for (int x = 3; x + 3 < small.width; ++x) {
            const float size = g.size(x, y);
            if (size < threshold) continue;
            const float dx = g.along(x, y) / size, dy = g.down(x, y) / size;
            const auto  fx = static_cast<float>(x), fy = static_cast<float>(y);
            const float ahead = between_pixels(g.size, fx + dx, fy + dy);
            const float back  = between_pixels(g.size, fx - dx, fy - dy);
            if (size < ahead || size <= back) continue;
            // Top of the parabola through the three sizes.
            const float bend  = ahead + back - 2 * size;
            const float shift = bend < 0 ? std::clamp((back - ahead) / (2 * bend), -0.5F, 0.5F) : 0.0F;
            found.points.push_back({fx + shift * dx, fy + shift * dy, dx, dy, size});
        }
    if (found.points.size() > kMostPoints) {
        const auto end = found.points.begin() + static_cast<std::ptrdiff_t>(kMostPoints);
        std::nth_element(found.points.begin(), end, found.points.end(),
                         [](const EdgePoint& a, const EdgePoint& b) { return a.strength > b.strength; });
        found.points.erase(end, found.points.end());
    }
    return found;
}

} // namespace engine
