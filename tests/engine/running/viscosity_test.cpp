#include "engine/running/viscosity.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {
ViscosityPoint thick_at(double celsius, double mm2_s)
{
    return {Celsius{celsius}, KinematicViscosity{mm2_s}};
}
double found(const ViscosityPoint& one, const ViscosityPoint& other, double wanted)
{
    const auto figures = viscosity_at(one, other, Celsius{wanted});
    REQUIRE(figures);
    return figures->viscosity.value;
}
} // namespace

TEST_SUITE("engine/running/viscosity")
{
    TEST_CASE("published constants and viscosities come out [SCRIBD-D341] [SKF-REPORT-6309]")
    {
        const support::Reference table("viscosity_examples");
        int                      checked = 0;
        for (std::size_t row = 0; row < table.rows(); ++row) {
            const std::string id        = table.text(row, "id");
            const double      published = table.number(row, "published");
            const auto        vg32      = viscosity_at(thick_at(40, 32), thick_at(100, 5.4), Celsius{80});
            REQUIRE(vg32);
            CAPTURE(id);
            // The printed constants use t + 273 in place of 273.15, the printed viscosity has two digits.
            if (id == "D341-A") CHECK(vg32->a == doctest::Approx(published).epsilon(6e-4));
            if (id == "D341-B") CHECK(vg32->b == doctest::Approx(published).epsilon(6e-4));
            if (id == "D341-80C") CHECK(vg32->viscosity.value == doctest::Approx(published).epsilon(6e-3));
            if (id == "SKF-REPORT-80C")
                CHECK(found(thick_at(40, 120), thick_at(100, 12), 80) ==
                      doctest::Approx(published).epsilon(5e-3));
            ++checked;
        }
        CHECK(checked == 4);
    }

    TEST_CASE("the known points come back, from either order, and warmer is always thinner")
    {
        double before = 1e9;
        for (double t = -10; t <= 130; t += 5) {
            const double nu = found(thick_at(40, 220), thick_at(100, 19), t);
            CHECK(nu == doctest::Approx(found(thick_at(100, 19), thick_at(40, 220), t)).epsilon(1e-12));
            CHECK(nu < before);
            before = nu;
        }
        CHECK(found(thick_at(40, 220), thick_at(100, 19), 40) == doctest::Approx(220).epsilon(1e-9));
        CHECK(found(thick_at(40, 220), thick_at(100, 19), 100) == doctest::Approx(19).epsilon(1e-9));
        CHECK(found(thick_at(40, 10), thick_at(100, 2), 100) == doctest::Approx(2).epsilon(1e-9));
    }

    TEST_CASE("an answer is as good a known point as the one it came from")
    {
        for (double t = 50; t <= 95; t += 5) {
            const double between = found(thick_at(40, 100), thick_at(100, 11), t);
            CHECK(found(thick_at(40, 100), thick_at(t, between), 100) == doctest::Approx(11).epsilon(1e-9));
        }
    }

    TEST_CASE("outside the two points the answer says so")
    {
        CHECK(viscosity_at(thick_at(40, 32), thick_at(100, 5.4), Celsius{20})->extended);
        CHECK(viscosity_at(thick_at(40, 32), thick_at(100, 5.4), Celsius{110})->extended);
        CHECK_FALSE(viscosity_at(thick_at(40, 32), thick_at(100, 5.4), Celsius{40})->extended);
        CHECK_FALSE(viscosity_at(thick_at(40, 32), thick_at(100, 5.4), Celsius{100})->extended);
    }

    TEST_CASE("what cannot be is refused with its range")
    {
        for (const double bad : {std::numeric_limits<double>::quiet_NaN(), -300.0, 1e12,
                                 std::numeric_limits<double>::infinity()}) {
            CHECK_FALSE(viscosity_at(thick_at(bad, 32), thick_at(100, 5.4), Celsius{80}));
            CHECK_FALSE(viscosity_at(thick_at(40, bad), thick_at(100, 5.4), Celsius{80}));
            CHECK_FALSE(viscosity_at(thick_at(40, 32), thick_at(100, bad), Celsius{80}));
            CHECK_FALSE(viscosity_at(thick_at(40, 32), thick_at(100, 5.4), Celsius{bad}));
        }
        CHECK(viscosity_at(thick_at(40, 1.9), thick_at(100, 1.5), Celsius{80})
                  .error()
                  .message.find("between 2 and") != std::string::npos);
        CHECK(viscosity_at(thick_at(40, 32), thick_at(42, 30), Celsius{80}).error().message.find("K") !=
              std::string::npos);
        CHECK(viscosity_at(thick_at(40, 5), thick_at(100, 32), Celsius{80})
                  .error()
                  .message.find("not thinner") != std::string::npos);
        CHECK_FALSE(viscosity_at(thick_at(40, 32), thick_at(100, 32), Celsius{80}));
        CHECK_FALSE(viscosity_at(thick_at(40, 10), thick_at(100, 2.5), Celsius{180})); // thinner than 2
        CHECK_FALSE(
            viscosity_at(thick_at(40, 2e5), thick_at(100, 3e3), Celsius{-50})); // thicker than a million
    }
}
