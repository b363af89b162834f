#include "engine/running/lubrication.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {
constexpr double kNotANumber = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf        = std::numeric_limits<double>::infinity();

double nu1(double speed, double dpw)
{
    const auto found = reference_viscosity(RevPerMinute{speed}, Millimetres{dpw});
    REQUIRE(found);
    return found->value;
}
} // namespace

TEST_SUITE("engine/running/lubrication")
{
    TEST_CASE("the pitch diameter of the printed example is the mean of bore and outside [SKF-CAT-P92]")
    {
        CHECK(pitch_diameter(Millimetres{45}, Millimetres{100})->value == 72.5);
        CHECK_FALSE(pitch_diameter(Millimetres{100}, Millimetres{45}));
        CHECK_FALSE(pitch_diameter(Millimetres{kNotANumber}, Millimetres{45}));
        CHECK_FALSE(pitch_diameter(Millimetres{45}, Millimetres{kInf}));
    }

    // Check numbers: 4500/sqrt(3000 x 72.5) = 9.649; makers' diagrams read up to 20 % lower there (8.15).
    TEST_CASE("the reference viscosity is that of the equation, not of a maker's diagram [CODE-AISO-1]")
    {
        CHECK(nu1(3000, 72.5) == doctest::Approx(9.6490128).epsilon(1e-7));
        CHECK(nu1(1800, 72.5) == doctest::Approx(12.456822).epsilon(1e-7));
        CHECK(nu1(500, 100) == doctest::Approx(4500 * std::pow(500, -0.83)).epsilon(1e-12));
        const support::Reference table("life_examples");
        for (std::size_t row = 0; row < table.rows(); ++row)
            if (table.text(row, "quantity").find("nu1 diagram") == 0)
                CHECK(nu1(3000, 72.5) > 1.15 * table.number(row, "published"));
    }

    TEST_CASE("faster and larger ask for thinner oil; the two branches miss each other by 2.3 percent")
    {
        for (const double dpw : {30.0, 100.0, 400.0}) {
            double before = 1e9;
            for (double n = 10; n < 20'000; n *= 1.1) {
                CHECK(nu1(n, dpw) < before);
                before = nu1(n, dpw);
            }
            CHECK(nu1(999.999, dpw) / nu1(1000, dpw) == doctest::Approx(1.0229).epsilon(1e-3));
        }
        CHECK(nu1(600, 200) < nu1(600, 100));
    }

    TEST_CASE("kappa is the viscosity over its reference")
    {
        const auto kappa = viscosity_ratio(KinematicViscosity{20}, RevPerMinute{3000}, Millimetres{72.5});
        REQUIRE(kappa);
        CHECK(*kappa == doctest::Approx(20 / 9.6490128).epsilon(1e-7));
        for (const double bad : {kNotANumber, -1.0, 0.0, 1e12, kInf}) {
            CHECK_FALSE(viscosity_ratio(KinematicViscosity{bad}, RevPerMinute{3000}, Millimetres{72.5}));
            CHECK_FALSE(viscosity_ratio(KinematicViscosity{20}, RevPerMinute{bad}, Millimetres{72.5}));
            CHECK_FALSE(viscosity_ratio(KinematicViscosity{20}, RevPerMinute{3000}, Millimetres{bad}));
        }
    }

    TEST_CASE("the fatigue load limit follows C0 and, above 100 mm, the size [CODE-AISO-1] [CODE-AISO-4]")
    {
        const auto cu = [](ElementKind kind, double dpw) {
            return fatigue_load_limit(kind, Kilonewtons{100}, Millimetres{dpw})->value;
        };
        CHECK(cu(ElementKind::ball, 72) == doctest::Approx(100.0 / 22).epsilon(1e-12));
        CHECK(cu(ElementKind::roller, 100) == doctest::Approx(100.0 / 8.2).epsilon(1e-12));
        CHECK(cu(ElementKind::roller, 100.001) == doctest::Approx(100.0 / 8.2).epsilon(1e-4));
        CHECK(cu(ElementKind::ball, 400) == doctest::Approx(100.0 / 22 / 2).epsilon(1e-12));
        CHECK(cu(ElementKind::roller, 200) ==
              doctest::Approx(100.0 / 8.2 * std::pow(0.5, 0.3)).epsilon(1e-12));
        CHECK_FALSE(fatigue_load_limit(ElementKind::ball, Kilonewtons{kNotANumber}, Millimetres{72}));
        CHECK_FALSE(fatigue_load_limit(ElementKind::ball, Kilonewtons{100}, Millimetres{-1}));
    }

    TEST_CASE("classes of contamination give the published bands [MESYS-LUB]")
    {
        const support::Reference       table("contamination_typical");
        const std::vector<std::string> names{"extreme", "high",   "normal",     "slight",
                                             "typical", "severe", "very-severe"};
        REQUIRE(table.rows() == names.size());
        double before = 2;
        for (std::size_t row = 0; row < names.size(); ++row) {
            const auto small = contamination_band(names[row], Millimetres{99});
            const auto large = contamination_band(names[row], Millimetres{100});
            REQUIRE(small);
            REQUIRE(large);
            CHECK(small->low == table.number(row, "eC_low_Dpw_lt_100mm"));
            CHECK(small->high == table.number(row, "eC_high_Dpw_lt_100mm"));
            CHECK(large->low == table.number(row, "eC_low_Dpw_ge_100mm"));
            CHECK(large->high == table.number(row, "eC_high_Dpw_ge_100mm"));
            CHECK(small->level == table.text(row, "level"));
            CHECK(small->low <= before);
            before = small->low;
        }
        CHECK(contamination_band("clean", Millimetres{99}).error().message.find("very-severe") !=
              std::string::npos);
        CHECK_FALSE(contamination_band("normal", Millimetres{kNotANumber}));
    }

    TEST_CASE("static safety is C0 over P0 against the published guide line [BC-S330]")
    {
        const support::Reference table("s0_guideline");
        std::size_t              row = 0;
        for (const Running running : {Running::smooth, Running::normal, Running::shock})
            for (const Quietness quiet :
                 {Quietness::unimportant, Quietness::usual, Quietness::high, Quietness::still}) {
                for (const ElementKind kind : {ElementKind::ball, ElementKind::roller}) {
                    StaticLoad load{kind, Kilonewtons{30}, Kilonewtons{10}, running, quiet};
                    const auto safety = static_safety(load);
                    REQUIRE(safety);
                    CHECK(safety->s0 == doctest::Approx(3).epsilon(1e-12));
                    CHECK(safety->wanted ==
                          table.number(row, kind == ElementKind::ball ? "ball_s0" : "roller_s0"));
                    CHECK((safety->verdict == Verdict::inside) == (safety->wanted <= 3));
                }
                ++row;
            }
        CHECK(row == table.rows());
        for (const double bad : {kNotANumber, 0.0, -1.0, 1e12, kInf}) {
            CHECK_FALSE(static_safety({ElementKind::ball, Kilonewtons{bad}, Kilonewtons{1}}));
            CHECK_FALSE(static_safety({ElementKind::ball, Kilonewtons{30}, Kilonewtons{bad}}));
        }
    }
}
