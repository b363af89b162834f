#include "engine/metrology/verdict.h"

#include <doctest/doctest.h>

#include <limits>

#include "tests/support/reference.h"

using namespace engine;

TEST_SUITE("engine/metrology/verdict")
{
    TEST_CASE("every constructed case of the decision rule comes out as ISO 14253-1 has it [ISO14253-RULE]")
    {
        const support::Reference cases("decision_rule_cases");
        REQUIRE(cases.rows() >= 15);
        for (std::size_t i = 0; i < cases.rows(); ++i) {
            CAPTURE(cases.text(i, "case"));
            const IntegerLimits limits{to_dum(Millimetres{cases.number(i, "lower_limit_mm")}),
                                       to_dum(Millimetres{cases.number(i, "upper_limit_mm")})};
            const Verdict       verdict =
                decide(to_dum(Millimetres{cases.number(i, "reading_mm")}),
                       u_to_dum(to_micrometres(Millimetres{cases.number(i, "U_mm")})), limits);
            const std::string& wanted = cases.text(i, "verdict");
            CHECK((verdict == Verdict::inside) == (wanted == "conformity proven"));
            CHECK((verdict == Verdict::outside) == (wanted == "non-conformity proven"));
            CHECK((verdict == Verdict::undecided) == (wanted == "undecided"));
        }
    }

    TEST_CASE("without uncertainty the limits themselves are still inside")
    {
        const IntegerLimits limits{499380, 500000};
        CHECK(decide(499380, 0, limits) == Verdict::inside);
        CHECK(decide(500000, 0, limits) == Verdict::inside);
        CHECK(decide(499379, 0, limits) == Verdict::outside);
        CHECK(decide(500001, 0, limits) == Verdict::outside);
    }

    TEST_CASE("a one-sided limit leaves the other side open and no limit is always inside")
    {
        CHECK(decide(-1'000'000, 5, {std::nullopt, 10}) == Verdict::inside);
        CHECK(decide(8, 5, {std::nullopt, 10}) == Verdict::undecided);
        CHECK(decide(16, 5, {std::nullopt, 10}) == Verdict::outside);
        CHECK(decide(4, 5, {10, std::nullopt}) == Verdict::outside);
        CHECK(decide(123, 5, {}) == Verdict::inside);
    }

    TEST_CASE("a larger uncertainty never turns a doubt into a certainty")
    {
        const IntegerLimits limits{100, 200};
        for (std::int64_t y = 50; y <= 250; ++y)
            for (std::int64_t u = 0; u < 60; ++u)
                if (decide(y, u, limits) == Verdict::undecided)
                    CHECK(decide(y, u + 1, limits) == Verdict::undecided);
    }

    TEST_CASE("numbers at the end of the range do not overflow")
    {
        constexpr auto kMost  = std::numeric_limits<std::int64_t>::max();
        constexpr auto kLeast = std::numeric_limits<std::int64_t>::min();
        CHECK(decide(kMost, kMost, {kLeast, kMost}) == Verdict::undecided);
        CHECK(decide(kLeast, kLeast, {0, kMost}) == Verdict::undecided);
        CHECK(to_dum(Millimetres{1e300}) > 0);
        CHECK(to_dum(Millimetres{std::numeric_limits<double>::quiet_NaN()}) > 0);
        CHECK(u_to_dum(Micrometres{-6.0}) == 60);
        CHECK(u_to_dum(Micrometres{6.01}) == 61);
    }

    TEST_CASE("the worst verdict is the one that counts, and names go both ways")
    {
        CHECK(worst({}) == Verdict::inside);
        CHECK(worst({Verdict::inside, Verdict::undecided}) == Verdict::undecided);
        CHECK(worst(Verdict::outside, Verdict::undecided) == Verdict::outside);
        for (const Verdict v : {Verdict::inside, Verdict::undecided, Verdict::outside})
            CHECK(*verdict_from(name_of(v)) == v);
        CHECK_FALSE(verdict_from("ok"));
    }
}
