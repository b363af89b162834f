// The angle on a photo of the nut, by an exact camera: the shaft's end stands before or behind the nut's
// face.
#include "engine/fit/nut_photo.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

#include "tests/bench/truth.h"

namespace truth {
namespace {

using Shaker = std::mt19937_64;

struct Point {
    double x = 0, y = 0, z = 0;
};

/// A camera far or near; the nut's face turned away about a line in the picture.
struct Camera {
    double tilt = 0, heading = 0, distance = 12, radius_px = 300; ///< rad; distance in nut radii

    /// A place of the nut, in radii, the height towards the camera; Rodrigues' turn about the heading.
    [[nodiscard]] engine::Pixel seen(const Point& p) const
    {
        const Point  axis{std::cos(heading), std::sin(heading), 0};
        const double c = std::cos(tilt), s = std::sin(tilt), along = axis.x * p.x + axis.y * p.y;
        const Point  cross{axis.y * p.z, -axis.x * p.z, axis.x * p.y - axis.y * p.x};
        const Point  turned{p.x * c + cross.x * s + axis.x * along * (1 - c),
                           p.y * c + cross.y * s + axis.y * along * (1 - c), p.z * c + cross.z * s};
        const double size = radius_px * distance / (distance - turned.z);
        return {1000 + size * turned.x, 750 + size * turned.y};
    }
};

engine::Pixel shaken(engine::Pixel p, double u, Shaker& dice)
{
    std::normal_distribution<double> off(0, u);
    return {p.x + off(dice), p.y + off(dice)};
}

struct Held {
    int count = 0, held = 0;
};

/// One photo: whether twice its uncertainty holds the angle.
void take(const Camera& camera, double height, bool own_centre, Shaker& dice, Held& held)
{
    std::uniform_real_distribution<double> turn(0, 2 * std::numbers::pi);
    std::vector<engine::Pixel>             edge;
    for (int i = 0; i < 24; ++i) {
        const double at = 2 * std::numbers::pi * i / 24;
        edge.push_back(shaken(camera.seen({std::cos(at), std::sin(at), 0}), 1, dice));
    }
    const double     shaft = turn(dice), angle = turn(dice), tap = 2;
    engine::NutMarks marks;
    marks.shaft_mark = shaken(camera.seen({0.5 * std::cos(shaft), 0.5 * std::sin(shaft), height}), tap, dice);
    marks.nut_mark =
        shaken(camera.seen({0.85 * std::cos(shaft + angle), 0.85 * std::sin(shaft + angle), 0}), tap, dice);
    marks.centre   = shaken(camera.seen({0, 0, 0}), tap, dice);
    marks.u_tap_px = tap;
    if (own_centre) marks.shaft_centre = shaken(camera.seen({0, 0, height}), tap, dice);
    const auto ellipse = engine::fit_ellipse(edge, 1);
    if (!ellipse) return;
    const auto found = engine::angle_on_photo(*ellipse, marks);
    if (!found) return;
    const double off = std::remainder(found->angle.value - angle * 180 / std::numbers::pi, 360.0);
    ++held.count, held.held += std::abs(off) <= 2 * found->u.value ? 1 : 0;
}

} // namespace

std::vector<Row> photo(int cases, unsigned seed)
{
    Shaker                                 dice(seed);
    std::uniform_real_distribution<double> heading(0, 2 * std::numbers::pi);
    std::normal_distribution<double>       height(0, 0.1); // within 0.2 radii in 95 of 100
    std::vector<Row>                       rows;
    for (const double degrees : {5.0, 15.0, 30.0, 45.0})
        for (const bool own_centre : {false, true}) {
            Held held;
            for (int i = 0; i < cases; ++i) {
                Camera camera;
                camera.tilt = degrees * std::numbers::pi / 180, camera.heading = heading(dice);
                take(camera, height(dice), own_centre, dice, held);
            }
            const std::string how = own_centre ? ", shaft's centre tapped" : ", height not known";
            rows.push_back(
                {"nut photo: angle held at " + std::to_string(static_cast<int>(degrees)) + " degrees" + how,
                 100.0 * held.held / std::max(1, held.count), 93, 97});
        }
    return rows;
}

} // namespace truth
