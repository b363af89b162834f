#include "field/look/canvas.h"
#include "field/look/polygon.h"
#include "field/shell/offscreen_shell.h"

#include <doctest/doctest.h>
#include <imgui.h>

#include <algorithm>
#include <cmath>

using namespace field;
using look::Point;

namespace {

float area_of(const std::vector<Point>& shape)
{
    float sum = 0;
    for (const auto& t : look::triangles_of(shape))
        sum += look::doubled_area(std::vector<Point>{shape[t[0]], shape[t[1]], shape[t[2]]}) / 2;
    return sum;
}

} // namespace

TEST_SUITE("field/look canvas")
{
    TEST_CASE("ears cover a concave shape once, whichever way its corners run")
    {
        std::vector<Point> gear;
        for (int i = 0; i < 48; ++i)
            gear.push_back(
                look::on_circle({50, 50}, i % 4 < 2 ? 30.0F : 22.0F, 7.5F * static_cast<float>(i)));
        const float whole = std::abs(look::doubled_area(gear)) / 2;
        CHECK(area_of(gear) == doctest::Approx(whole).epsilon(1e-4));
        std::reverse(gear.begin(), gear.end());
        CHECK(area_of(gear) == doctest::Approx(whole).epsilon(1e-4));
        CHECK(look::triangles_of(gear).size() == gear.size() - 2);
        CHECK_FALSE(look::is_convex(gear));
    }

    TEST_CASE("section lines lie at 45 degrees inside the shape and stand still when it moves by the pitch")
    {
        const std::vector<Point> ell{{0, 0}, {20, 0}, {20, 5}, {5, 5}, {5, 20}, {0, 20}};
        const auto               lines = look::section_lines(ell, 1.6F, false);
        CHECK(lines.size() > 10);
        for (const auto& [a, b] : lines) {
            CHECK(a.x + a.y == doctest::Approx(b.x + b.y).epsilon(1e-4));
            CHECK((((a.x + b.x) / 2 <= 5.001F) || ((a.y + b.y) / 2 <= 5.001F)));
        }
        const auto leaning = look::section_lines(ell, 1.6F, true);
        for (const auto& [a, b] : leaning)
            CHECK(a.x - a.y == doctest::Approx(b.x - b.y).epsilon(1e-3));
    }

    TEST_CASE("a quarter turn clockwise brings the top of a circle to its right")
    {
        const Point top = look::on_circle({10, 10}, 5, 0);
        CHECK(top.y == doctest::Approx(5.0).epsilon(1e-5));
        const Point right = look::turned(top, {10, 10}, 90);
        CHECK(right.x == doctest::Approx(15.0).epsilon(1e-5));
        CHECK(right.x == doctest::Approx(look::on_circle({10, 10}, 5, 90).x).epsilon(1e-5));
    }

    TEST_CASE("capitals on the glass are as high as their role says, on both tablets")
    {
        for (const look::ScreenSize& screen : {look::kTenInch, look::kEightInchUpright}) {
            auto opened = shell::open_offscreen({screen, false, "test"});
            REQUIRE(opened.has_value());
            const look::Type& type = (*opened)->type();
            for (int i = 0; i < look::kRoles; ++i) {
                const auto         role  = static_cast<look::Role>(i);
                const ImFontGlyph* glyph = type.font(role)->FindGlyphNoFallback('H');
                REQUIRE(glyph != nullptr);
                CAPTURE(i);
                // Hinting and the soft edge round up to whole pixels.
                CHECK(std::abs((glyph->Y1 - glyph->Y0) - type.cap_mm(role) * screen.px_per_mm) <= 1.5F);
            }
        }
    }
}
