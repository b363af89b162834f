#include "engine/metrology/instrument.h"
#include "engine/metrology/seat.h"
#include "engine/metrology/uncertainty.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {

const double kNoNumber = std::numeric_limits<double>::quiet_NaN();
const double kEndless  = std::numeric_limits<double>::infinity();

/// The published value of a row found by the start of its text.
double published(const support::Reference& table, const std::string& start)
{
    for (std::size_t row = 0; row < table.rows(); ++row)
        if (table.text(row, "quantity").find(start) == 0) return table.number(row, "published");
    FAIL("no row " << start);
    return 0;
}

} // namespace

TEST_SUITE("engine/metrology/uncertainty")
{
    // Calibration of an end gauge, GUM H.1: parts 25 (18), 5.8 (24), 3.9 (5), 6.7 (8) nm; expansion
    // difference 1e-6 rectangular (50) over 0.1 K; temperature difference 0.05 K rectangular (2), 11.5e-6/K,
    // 50 mm.
    TEST_CASE("the end gauge of the GUM comes out as published [GTC-H1] [JCGM100-H1]")
    {
        const support::Reference table("gum_h1_endgauge");
        const double             expansion = standard_of_half_width(1e-6) * 0.1 * 50'000.623;
        const double             warmth    = 11.5e-6 * standard_of_half_width(0.05) * 50'000.623;
        CHECK(expansion * 1000 == doctest::Approx(published(table, "u from expansion")).epsilon(1e-4));
        CHECK(warmth * 1000 == doctest::Approx(published(table, "u from temperature")).epsilon(1e-4));
        const std::vector<UncertaintyPart> parts{
            {"standard", Micrometres{0.025}, 18},          {"comparison", Micrometres{0.0058}, 24},
            {"random comparator", Micrometres{0.0039}, 5}, {"systematic comparator", Micrometres{0.0067}, 8},
            {"expansion", Micrometres{expansion}, 50},     {"temperature", Micrometres{warmth}, 2}};
        const auto all = combine(parts, 0.99);
        REQUIRE(all);
        // Printed with two digits: 32 nm, from 31.66.
        CHECK(all->u.value * 1000 == doctest::Approx(published(table, "uc(l)")).epsilon(0.015));
        CHECK(all->dof == doctest::Approx(published(table, "effective dof")).epsilon(0.01));
        CHECK(all->k == doctest::Approx(published(table, "t 99 %")).epsilon(1e-3));
        CHECK(all->expanded.value * 1000 == doctest::Approx(published(table, "U99")).epsilon(0.015));
    }

    // Calibration of a caliper at 150 mm, EA-4/02 S10.
    TEST_CASE("the caliper of EA-4/02 comes out as published [MEM-EA402-S10]")
    {
        const support::Reference table("ea4_02_s10_caliper");
        const double             warmth = standard_of_half_width(2) * 1.7;
        CHECK(warmth == doctest::Approx(published(table, "temperature difference")).epsilon(0.02));
        CHECK(standard_of_half_width(0.8) ==
              doctest::Approx(published(table, "gauge block limits")).epsilon(0.01));
        CHECK(standard_of_step(50) == doctest::Approx(published(table, "resolution")).epsilon(0.04));
        const std::vector<UncertaintyPart> parts{{"gauge block", Micrometres{standard_of_half_width(0.8)}},
                                                 {"temperature", Micrometres{warmth}},
                                                 {"resolution", Micrometres{standard_of_step(50)}},
                                                 {"mechanical", Micrometres{standard_of_half_width(50)}}};
        const auto                         all = combine(parts);
        REQUIRE(all);
        CHECK(all->dof == 0.0);
        CHECK(all->u.value == doctest::Approx(published(table, "combined u")).epsilon(0.025));
        // Published for a ratio rounded to 0.33.
        CHECK(*trapezoid_coverage(1.0 / 3) == doctest::Approx(published(table, "k of trap")).epsilon(3e-3));
        CHECK(all->u.value * *trapezoid_coverage(1.0 / 3) / 1000 ==
              doctest::Approx(published(table, "U")).epsilon(0.02));
    }

    // Any table of Student's t (GUM table G.2, from
    // memory): 12.71, 4.30, 3.18, 2.78, 2.57, 2.23, 2.09, 1.960.
    TEST_CASE("Student's t is that of the GUM's table G.2")
    {
        const std::pair<double, double> rows[] = {{1, 12.7062}, {2, 4.3027},  {3, 3.1824},  {4, 2.7764},
                                                  {5, 2.5706},  {10, 2.2281}, {20, 2.0860}, {0, 1.95996}};
        for (const auto& [dof, t] : rows) {
            const double freedom = dof;
            CAPTURE(freedom);
            CHECK(*student_t(dof, 0.95) == doctest::Approx(t).epsilon(2e-3));
        }
        CHECK(*student_t(0, 0.6827) == doctest::Approx(1.0).epsilon(1e-4));
        for (double dof = 3; dof < 100; ++dof)
            CHECK(*student_t(dof, 0.95) > *student_t(dof + 1, 0.95));
    }

    TEST_CASE("a rectangle and a triangle are the ends of the trapezoid")
    {
        // Rectangle of half-width a: 0.95 a over a/sqrt(3); triangle: 1 - sqrt(0.05) over 1/sqrt(6).
        CHECK(*trapezoid_coverage(0.0) ==
              doctest::Approx((1 - std::sqrt(0.05)) * std::sqrt(6.0)).epsilon(1e-9));
        CHECK_FALSE(trapezoid_coverage(1.0, 0.95));
        CHECK_FALSE(trapezoid_coverage(-0.1));
        CHECK_FALSE(trapezoid_coverage(kNoNumber));
    }

    TEST_CASE("the parts of a length grow with it and with the distance from 20 degrees, and averaging helps")
    {
        LengthReading r;
        r.length         = Millimetres{100};
        r.repeatability  = Micrometres{3};
        const auto plain = length_parts(r);
        REQUIRE(plain);
        REQUIRE(plain->size() == 7);
        // 100 mm, 11.5e-6/K, 2 K half-width: 2.3 um, 1.33 um standard (GUM 4.3.7).
        CHECK(plain->at(3).u.value == doctest::Approx(2.3 / std::sqrt(3.0)).epsilon(1e-9));
        CHECK(plain->at(5).u.value == 0.0);
        r.part = Celsius{40};
        CHECK(length_parts(r)->at(5).u.value ==
              doctest::Approx(100'000 * 20 * 1e-6 / std::sqrt(3.0)).epsilon(1e-9));
        r.readings = 4;
        CHECK(length_parts(r)->at(2).u.value == doctest::Approx(1.5).epsilon(1e-9));
        r.length = Millimetres{200};
        CHECK(length_parts(r)->at(3).u.value == doctest::Approx(2 * plain->at(3).u.value).epsilon(1e-9));
        const auto all = combine(*length_parts(r));
        REQUIRE(all);
        CHECK(all->expanded.value == doctest::Approx(all->k * all->u.value).epsilon(1e-12));
    }

    TEST_CASE("what cannot be is refused")
    {
        CHECK(combine({}).error().fault == Fault::bad_input);
        for (const double bad : {kNoNumber, kEndless, -kEndless, -1.0, 1e12}) {
            CAPTURE(bad);
            CHECK_FALSE(combine(std::vector<UncertaintyPart>{{"a", Micrometres{bad}, 0}}));
            CHECK_FALSE(combine(std::vector<UncertaintyPart>{{"a", Micrometres{1}, bad}}));
            CHECK_FALSE(combine(std::vector<UncertaintyPart>{{"a", Micrometres{1}, 0}}, bad));
            CHECK_FALSE(student_t(bad, 0.95));
            CHECK_FALSE(student_t(5, bad));
            for (int field = 0; field < 6; ++field) {
                LengthReading r;
                r.length = Millimetres{50};
                if (field == 0) r.length = Millimetres{bad};
                if (field == 1) r.error_limit = Micrometres{bad};
                if (field == 2) r.part = Celsius{bad < 0 ? -1e3 : bad};
                if (field == 3) r.part_error = Kelvins{bad};
                if (field == 4) r.part_alpha = PerKelvin{bad};
                if (field == 5) r.repeatability = Micrometres{bad};
                CHECK_FALSE(length_parts(r));
            }
        }
        LengthReading r;
        r.length   = Millimetres{50};
        r.readings = 0;
        CHECK_FALSE(length_parts(r));
    }

    // Guard bands 2 u and 1.645 u: a reading between the two is undecided by one rule and inside by the
    // other.
    TEST_CASE("both decision rules decide the constructed cases; the one-sided one is never stricter "
              "[ISO14253-RULE]")
    {
        const support::Reference cases("decision_rule_cases");
        for (std::size_t i = 0; i < cases.rows(); ++i) {
            CAPTURE(cases.text(i, "case"));
            const double u = cases.number(i, "U_mm") / 2, reading = cases.number(i, "reading_mm");
            const double low = cases.number(i, "lower_limit_mm"), high = cases.number(i, "upper_limit_mm");
            const IntegerLimits limits{to_dum(Millimetres{low}), to_dum(Millimetres{high})};
            const auto          by = [&](DecisionRule rule) {
                return decide(to_dum(Millimetres{reading}),
                                       u_to_dum(to_micrometres(Millimetres{u * guard_factor(rule)})), limits);
            };
            const Verdict k2 = by(DecisionRule::k2), one = by(DecisionRule::one_sided_95);
            if (k2 != Verdict::undecided) CHECK(one == k2);
            // By hand: 95 % sure at one limit is 1.645 u inside or outside of it (JCGM 106 8.3).
            const double guard = 1.645 * u, hair = 1e-4;
            if (reading > low + guard + hair && reading < high - guard - hair) CHECK(one == Verdict::inside);
            if (reading < low - guard - hair || reading > high + guard + hair) CHECK(one == Verdict::outside);
        }
        CHECK(*rule_from("k2") == DecisionRule::k2);
        CHECK(*rule_from(name_of(DecisionRule::one_sided_95)) == DecisionRule::one_sided_95);
        CHECK(name_of(DecisionRule::k2) == "k2");
        CHECK(rule_from("k3").error().fault == Fault::bad_input);
    }

    TEST_CASE("a seat near its limit is undecided by k = 2 and inside when 95 percent at one side is enough")
    {
        SeatSpec spec{Millimetres{50}, *limits_of(Millimetres{50}, "h9"), *form_limit(Millimetres{50}, "IT5"),
                      DecisionRule::k2};
        const std::vector<SeatReading> readings{{"I", "across", Millimetres{49.9937}},
                                                {"I", "up", Millimetres{49.9937}},
                                                {"II", "across", Millimetres{49.9930}},
                                                {"II", "up", Millimetres{49.9935}}};
        SeatConditions                 how;
        how.error_limit       = Micrometres{6};
        how.temperature_error = Kelvins{0.1};
        const auto strict     = evaluate_seat(spec, readings, how);
        spec.rule             = DecisionRule::one_sided_95;
        const auto one_sided  = evaluate_seat(spec, readings, how);
        REQUIRE(strict);
        CHECK(strict->size_verdict == Verdict::undecided);
        CHECK(one_sided->size_verdict == Verdict::inside);
        REQUIRE(strict->planes.size() == 2);
        CHECK(strict->planes[0].name == "I");
        CHECK(strict->planes[0].readings == 2);
        CHECK(strict->planes[1].variation.value == doctest::Approx(0.0005).epsilon(1e-6));
        CHECK(strict->taper.value ==
              doctest::Approx((strict->planes[0].mean - strict->planes[1].mean).value).epsilon(1e-6));
        how.repeatability = Micrometres{3};
        CHECK(evaluate_seat(spec, readings, how)->expanded_u_reading > strict->expanded_u_reading);
        how.repeatability = Micrometres{kNoNumber};
        CHECK_FALSE(evaluate_seat(spec, readings, how));
    }

    TEST_CASE(
        "grades the standard has for other letters are kept too, js with its own rounding [MEM-ISO286-1]")
    {
        CHECK(limits_of(Millimetres{50}, "h1")->lower.value == doctest::Approx(-0.0015).epsilon(1e-9));
        CHECK(limits_of(Millimetres{50}, "h18")->lower.value == doctest::Approx(-3.9).epsilon(1e-9));
        CHECK(limits_of(Millimetres{50}, "js18")->upper.value == doctest::Approx(1.95).epsilon(1e-9));
        CHECK(limits_of(Millimetres{50}, "k3")->lower.value == 0.0);
        CHECK(limits_of(Millimetres{50}, "k13")->tolerance.value == doctest::Approx(0.39).epsilon(1e-9));
        CHECK(limits_of(Millimetres{50}, "d13")->upper.value == doctest::Approx(-0.08).epsilon(1e-9));
    }
}
