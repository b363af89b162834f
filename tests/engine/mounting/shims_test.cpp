#include "engine/mounting/shims.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>
#include <vector>

using namespace engine;

namespace {
constexpr double         kNan = std::numeric_limits<double>::quiet_NaN();
std::vector<Millimetres> mm(std::initializer_list<double> values)
{
    std::vector<Millimetres> list;
    for (const double value : values)
        list.emplace_back(value);
    return list;
}
} // namespace

TEST_SUITE("engine/mounting/shims")
{
    // Common practice: one turn of a 24 threads-per-inch nut is 0.0417 in; fitters shim 0.042 in.
    TEST_CASE("one turn of 24 threads per inch wants 0.0417 inch, that is 0.042 to a thou (common practice)")
    {
        const auto shim = shim_thickness(Turns{1}, ThreadPitch{25.4 / 24}, Millimetres{0});
        REQUIRE(shim);
        CHECK(shim->value / 25.4 == doctest::Approx(0.0417).epsilon(1e-3));
        CHECK(std::round(shim->value / 25.4 * 1000) == 42);
    }

    TEST_CASE("the allowance for the lock tab is added to the travel")
    {
        CHECK(shim_thickness(Turns{0.5}, ThreadPitch{1.5}, Millimetres{0.029})->value ==
              doctest::Approx(0.779).epsilon(1e-12));
        CHECK(shim_thickness(Millimetres{0.75}, Millimetres{0.029})->value ==
              doctest::Approx(0.779).epsilon(1e-12));
    }

    TEST_CASE("the pack is the nearest not above, with the fewest leaves")
    {
        const auto stock = mm({1.0, 0.5, 0.2, 0.1, 0.05});
        auto       pack  = fewest_leaves(Millimetres{0.78}, stock);
        REQUIRE(pack);
        CHECK(pack->thickness.value == doctest::Approx(0.75).epsilon(1e-9));
        CHECK(pack->leaves == mm({0.5, 0.2, 0.05}));
        CHECK(pack->left_over.value == doctest::Approx(0.03).epsilon(1e-6));
        // A greedy hand would take 0.4 + 0.1 + 0.1: three leaves where two do.
        pack = fewest_leaves(Millimetres{0.6}, mm({0.4, 0.3, 0.1}));
        CHECK(pack->leaves == mm({0.3, 0.3}));
        CHECK(pack->left_over.value == 0.0);
        pack = fewest_leaves(Millimetres{0.03}, stock);
        CHECK(pack->leaves.empty());
        CHECK(pack->left_over.value == doctest::Approx(0.03).epsilon(1e-9));
    }

    TEST_CASE("inch leaves fill the travel of 24 threads per inch to within a thou")
    {
        const auto wanted = Millimetres{25.4 / 24};
        const auto pack   = fewest_leaves(wanted, mm({0.0254, 0.0508, 0.127, 0.254, 0.508}));
        REQUIRE(pack);
        CHECK(pack->thickness.value == doctest::Approx(0.041 * 25.4).epsilon(1e-6));
        CHECK(pack->leaves.size() == 3); // 0.020 + 0.020 + 0.001
    }

    TEST_CASE("no pack is thicker than wanted and no other pack of its leaves comes nearer")
    {
        const std::vector<double> sizes{0.7, 0.25, 0.1};
        for (int tenth = 0; tenth <= 300; tenth += 7) {
            const double wanted = tenth * 0.01;
            const auto   pack   = fewest_leaves(Millimetres{wanted}, mm({0.7, 0.25, 0.1}));
            REQUIRE(pack);
            double sum = 0;
            for (const Millimetres leaf : pack->leaves)
                sum += leaf.value;
            CHECK(sum == doctest::Approx(pack->thickness.value).epsilon(1e-9));
            CHECK(sum <= wanted + 1e-4);
            double      best  = 0;
            std::size_t count = 99;
            for (int a = 0; a * 0.7 <= wanted + 1e-9; ++a)
                for (int b = 0; a * 0.7 + b * 0.25 <= wanted + 1e-9; ++b)
                    for (int c = 0; a * 0.7 + b * 0.25 + c * 0.1 <= wanted + 1e-9; ++c) {
                        const double here   = a * 0.7 + b * 0.25 + c * 0.1;
                        const auto   leaves = static_cast<std::size_t>(a) + static_cast<std::size_t>(b) +
                                            static_cast<std::size_t>(c);
                        if (here > best + 1e-9 || (std::abs(here - best) < 1e-9 && leaves < count))
                            best = here, count = leaves;
                    }
            CAPTURE(wanted);
            CHECK(pack->thickness.value == doctest::Approx(best).epsilon(1e-6));
            if (best > 0) CHECK(pack->leaves.size() == count);
        }
    }

    TEST_CASE("numbers that cannot be are refused")
    {
        for (const double bad : {kNan, -1.0, 1e9, std::numeric_limits<double>::infinity()}) {
            CHECK_FALSE(shim_thickness(Turns{bad}, ThreadPitch{1.5}, Millimetres{0}));
            CHECK_FALSE(shim_thickness(Turns{1}, ThreadPitch{bad}, Millimetres{0}));
            CHECK_FALSE(shim_thickness(Turns{1}, ThreadPitch{1.5}, Millimetres{bad}));
            CHECK_FALSE(shim_thickness(Millimetres{bad}, Millimetres{0}));
            CHECK_FALSE(fewest_leaves(Millimetres{bad}, common_leaves()));
            CHECK_FALSE(fewest_leaves(Millimetres{1}, mm({0.5, bad})));
        }
        CHECK(fewest_leaves(Millimetres{1}, mm({})).error().fault == Fault::bad_input);
        CHECK_FALSE(fewest_leaves(Millimetres{1}, mm({0.001})));
    }

    TEST_CASE("only leaves at hand are used")
    {
        const std::vector<ShimLeaf> stock{
            {Millimetres{0.5}, 1}, {Millimetres{0.2}, 2}, {Millimetres{0.05}, 1}};
        auto pack = fewest_leaves(Millimetres{1.5}, stock);
        REQUIRE(pack);
        CHECK(pack->leaves == mm({0.5, 0.2, 0.2, 0.05})); // all there is
        CHECK(pack->left_over.value == doctest::Approx(0.55).epsilon(1e-9));
        pack = fewest_leaves(Millimetres{0.6}, stock);
        CHECK(pack->leaves == mm({0.5, 0.05}));
        CHECK(fewest_leaves(Millimetres{0.6}, std::vector<ShimLeaf>{{Millimetres{0.2}, 0}})->leaves.empty());
        CHECK_FALSE(fewest_leaves(Millimetres{0.6}, std::vector<ShimLeaf>{{Millimetres{0.2}, -1}}));
        CHECK_FALSE(fewest_leaves(Millimetres{0.6}, std::vector<ShimLeaf>{{Millimetres{0.2}, 1001}}));
    }

    TEST_CASE("with few leaves no other choice of them comes nearer, or as near with fewer")
    {
        const std::array<double, 4> sizes{0.7, 0.3, 0.25, 0.1};
        const std::array<int, 4>    at_hand{1, 2, 1, 3};
        std::vector<ShimLeaf>       stock;
        for (std::size_t i = 0; i < 4; ++i)
            stock.push_back({Millimetres{sizes.at(i)}, at_hand.at(i)});
        for (int hundredth = 0; hundredth <= 200; hundredth += 3) {
            int best = 0, fewest = 0;
            for (int a = 0; a <= 1; ++a)
                for (int b = 0; b <= 2; ++b)
                    for (int c = 0; c <= 1; ++c)
                        for (int d = 0; d <= 3; ++d) {
                            const int sum = 70 * a + 30 * b + 25 * c + 10 * d, count = a + b + c + d;
                            if (sum > hundredth || sum < best || (sum == best && count >= fewest)) continue;
                            best = sum, fewest = count;
                        }
            const auto pack = fewest_leaves(Millimetres{hundredth / 100.0}, stock);
            REQUIRE(pack);
            CAPTURE(hundredth);
            CHECK(pack->thickness.value == doctest::Approx(best / 100.0).epsilon(1e-9));
            CHECK(pack->leaves.size() == static_cast<std::size_t>(fewest));
        }
    }

    // Three heights on a circle of diameter D: one shim higher by h tilts the flange by h over three quarters
    // of D (geometry).
    TEST_CASE(
        "equal shims make no tilt, one thicker shim tilts by its height over three quarters of the circle")
    {
        ThreeShims shims;
        shims.circle    = Millimetres{200};
        shims.thickness = {Millimetres{1}, Millimetres{1}, Millimetres{1}};
        auto plane      = plane_of(shims);
        REQUIRE(plane);
        CHECK(plane->tilt.value == doctest::Approx(0).epsilon(1e-12));
        CHECK(plane->high_at.value == 0);
        CHECK(plane->centre.value == doctest::Approx(1).epsilon(1e-12));
        for (std::size_t i = 0; i < 3; ++i) {
            shims.thickness       = {Millimetres{1}, Millimetres{1}, Millimetres{1}};
            shims.thickness.at(i) = Millimetres{1.15};
            plane                 = plane_of(shims);
            CHECK(std::tan(plane->tilt.value * 3.14159265358979 / 180) ==
                  doctest::Approx(0.15 / 150).epsilon(1e-9));
            CHECK(plane->across.value == doctest::Approx(0.2).epsilon(1e-9));
            CHECK(plane->centre.value == doctest::Approx(1.05).epsilon(1e-9));
            CHECK(std::remainder(plane->high_at.value - 120.0 * static_cast<double>(i), 360) ==
                  doctest::Approx(0).epsilon(1e-9));
        }
    }

    TEST_CASE("a plane through three points of any place gives their heights back")
    {
        const double radian = 3.14159265358979323846 / 180;
        ThreeShims   shims;
        shims.circle     = Millimetres{160};
        shims.at         = {Degrees{10}, Degrees{95}, Degrees{250}};
        shims.thickness  = {Millimetres{1.2}, Millimetres{0.9}, Millimetres{1.05}};
        const auto plane = plane_of(shims);
        REQUIRE(plane);
        for (std::size_t i = 0; i < 3; ++i)
            CHECK(plane->centre.value +
                      plane->across.value / 2 *
                          std::cos((shims.at.at(i).value - plane->high_at.value) * radian) ==
                  doctest::Approx(shims.thickness.at(i).value).epsilon(1e-9));
    }

    TEST_CASE("planes that cannot be are refused")
    {
        for (const double bad : {kNan, -1.0, 1e9, std::numeric_limits<double>::infinity()}) {
            ThreeShims shims;
            shims.circle = Millimetres{bad};
            CHECK_FALSE(plane_of(shims));
            shims.circle          = Millimetres{200};
            shims.thickness.at(1) = Millimetres{bad};
            CHECK_FALSE(plane_of(shims));
            shims.thickness.at(1) = Millimetres{1};
            shims.at.at(1)        = Degrees{bad == -1.0 ? 5 : bad}; // five degrees from the first
            CHECK_FALSE(plane_of(shims));
        }
    }
}
