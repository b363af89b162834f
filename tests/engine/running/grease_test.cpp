#include "engine/running/grease.h"

#include <doctest/doctest.h>

#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {
GreaseCase bearing_of(double bore, double outer, double width, double speed)
{
    GreaseCase b;
    b.bore  = Millimetres{bore};
    b.outer = Millimetres{outer};
    b.width = Millimetres{width};
    b.speed = RevPerMinute{speed};
    return b;
}
} // namespace

TEST_SUITE("engine/running/grease")
{
    TEST_CASE("the refill of the checked case comes out [SCRIBD-GREASE] [MACHLUB-31524]")
    {
        const support::Reference table("grease_quantity_check");
        for (std::size_t row = 0; row < table.rows(); ++row) {
            const auto grease =
                grease_for(bearing_of(45, table.number(row, "D_mm"), table.number(row, "B_mm"), 1000));
            REQUIRE(grease);
            CHECK(grease->refill.value ==
                  doctest::Approx(table.number(row, "G_metric_rule_g")).epsilon(1e-9));
            CHECK(grease->refill.value == doctest::Approx(table.number(row, "G_inch_rule_g")).epsilon(3e-3));
        }
    }

    TEST_CASE(
        "intervals of every kind, speed and temperature are those of the rule [TAE-RELUB] [SCRIBD-GREASE]")
    {
        const support::Reference table("grease_interval_check");
        for (std::size_t row = 0; row < table.rows(); ++row) {
            const double d        = table.number(row, "d_mm");
            GreaseCase   b        = bearing_of(d, 2 * d, d / 2, table.number(row, "n_r_min"));
            const double kf       = table.number(row, "kf");
            b.kind                = kf == 10  ? RollingKind::ball
                                    : kf == 5 ? RollingKind::cylindrical
                                              : RollingKind::spherical;
            b.temperature         = Celsius{table.number(row, "temp_C")};
            const auto   grease   = grease_for(b);
            const double wanted_h = table.number(row, "tf_temp_h");
            CAPTURE(row);
            if (wanted_h <= 0) { // the formula has no answer there
                CHECK_FALSE(grease);
                continue;
            }
            REQUIRE(grease);
            CHECK(grease->interval.value == doctest::Approx(wanted_h).epsilon(1e-4));
        }
        // Round case of the formula: spherical, 1000 r/min, bore 100: exactly 1000 h.
        CHECK(grease_for(bearing_of(100, 180, 46, 1000))->interval.value ==
              doctest::Approx(1000).epsilon(1e-12));
    }

    TEST_CASE("a known mass gives the free space, an unknown one a rough share of the envelope [MEM-GREASE]")
    {
        GreaseCase b = bearing_of(50, 100, 20, 500); // envelope 117.8 cm3
        CHECK(grease_for(b)->first_fill.value == doctest::Approx(0.9 * 0.2 * 117.81).epsilon(1e-3));
        b.mass = Grams{780}; // 100 cm3 of steel
        CHECK(grease_for(b)->first_fill.value == doctest::Approx(0.9 * 17.81).epsilon(1e-3));
    }

    TEST_CASE("hotter, faster and larger all ask for grease sooner")
    {
        double before = 1e12;
        for (double t = 60; t <= 130; t += 10) {
            GreaseCase b   = bearing_of(60, 110, 28, 800);
            b.temperature  = Celsius{t};
            const double h = grease_for(b)->interval.value;
            CHECK(h <= before);
            before = h;
        }
        CHECK(grease_for(bearing_of(60, 110, 28, 1600))->interval <
              grease_for(bearing_of(60, 110, 28, 800))->interval);
    }

    TEST_CASE("a speed beyond the rule and numbers that cannot be are refused")
    {
        CHECK(grease_for(bearing_of(200, 340, 112, 20000)).error().message.find("ask the maker") !=
              std::string::npos);
        for (const double bad : {0.0, -1.0, 1e9, std::numeric_limits<double>::quiet_NaN(),
                                 std::numeric_limits<double>::infinity()}) {
            CHECK_FALSE(grease_for(bearing_of(bad, 110, 28, 800)));
            CHECK_FALSE(grease_for(bearing_of(60, bad, 28, 800)));
            CHECK_FALSE(grease_for(bearing_of(60, 110, bad, 800)));
            CHECK_FALSE(grease_for(bearing_of(60, 110, 28, bad)));
        }
        GreaseCase b = bearing_of(60, 110, 28, 800);
        b.mass       = Grams{1e9};
        CHECK_FALSE(grease_for(b));
    }
}
