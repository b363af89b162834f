#include "engine/evidence/population/ranks.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/support/reference.h"

using namespace engine;

namespace {
LifeRecord failed(double hours, int count = 1)
{
    return {"", Hours{hours}, true, count};
}
LifeRecord running(double hours, int count = 1)
{
    return {"", Hours{hours}, false, count};
}
} // namespace

TEST_SUITE("engine/population/ranks")
{
    TEST_CASE(
        "median ranks are the published ones, Bernard's rule within its known error [PTC-MR] [RELIAWIKI-RRY]")
    {
        const support::Reference table("median_ranks");
        REQUIRE(table.rows() > 20);
        for (std::size_t row = 0; row < table.rows(); ++row) {
            const double order = table.number(row, "i");
            const int    n     = static_cast<int>(table.number(row, "n"));
            CAPTURE(order);
            CAPTURE(n);
            const double exact = *median_rank(order, n, RankRule::exact);
            CHECK(std::abs(exact - table.number(row, "published")) < 6e-5);
            CHECK(exact == doctest::Approx(table.number(row, "exact_beta_inverse")).epsilon(1e-5));
            const double bernard = *median_rank(order, n, RankRule::bernard);
            CHECK(bernard == doctest::Approx(table.number(row, "bernard")).epsilon(1e-5));
            CHECK(std::abs(bernard - exact) < 0.00135);
        }
    }

    TEST_CASE("ranks rise with the order and mirror about the middle")
    {
        for (const int n : {1, 2, 7, 50, 1000})
            for (int i = 1; i <= n; i += 1 + n / 20) {
                const double rank = *median_rank(i, n, RankRule::exact);
                CHECK(rank + *median_rank(n + 1 - i, n, RankRule::exact) == doctest::Approx(1).epsilon(1e-9));
                if (i > 1) CHECK(rank > *median_rank(i - 1, n, RankRule::exact));
            }
    }

    // Order of F, S, F, S, F of five: 1; then 1 + 5/4 = 2.25; then 2.25 + 3.75/2 = 4.125 [HOTWIRE-MON].
    TEST_CASE("suspensions push the orders of later failures up [HOTWIRE-MON]")
    {
        const std::vector<LifeRecord> records{running(400), failed(100), running(200), failed(300),
                                              failed(500)};
        const auto                    points = median_ranks(records, RankRule::bernard);
        REQUIRE(points);
        REQUIRE(points->size() == 3);
        CHECK(points->at(0).order == doctest::Approx(1).epsilon(1e-12));
        CHECK(points->at(1).order == doctest::Approx(2.25).epsilon(1e-12));
        CHECK(points->at(2).order == doctest::Approx(4.125).epsilon(1e-12));
        // Without suspensions the orders count; equal times stand one after the other.
        const auto plain = median_ranks(std::vector{failed(10, 2), failed(20), failed(5)}, RankRule::exact);
        for (std::size_t i = 0; i < 4; ++i)
            CHECK(plain->at(i).order == doctest::Approx(static_cast<double>(i + 1)).epsilon(1e-12));
    }

    TEST_CASE("points of a true Weibull life give its shape and scale back, on either axis")
    {
        for (const double shape : {0.7, 1.0, 2.2, 5.0}) {
            std::vector<LifeRecord> records;
            for (int i = 1; i <= 25; ++i) {
                const double rank = *median_rank(i, 25, RankRule::exact);
                records.push_back(failed(4000 * std::pow(-std::log(1 - rank), 1 / shape)));
            }
            for (const RankAxis axis : {RankAxis::y_on_x, RankAxis::x_on_y}) {
                const auto line = rank_regression(records, axis, RankRule::exact);
                REQUIRE(line);
                CHECK(line->shape == doctest::Approx(shape).epsilon(1e-9));
                CHECK(line->scale.value == doctest::Approx(4000).epsilon(1e-9));
                CHECK(line->r_squared == doctest::Approx(1).epsilon(1e-9));
            }
        }
    }

    // Six lives of the published example; shape 1.430 with the ranks on the times, 1.443 the other way.
    TEST_CASE("the published example of rank regression comes out on both axes [RELIAWIKI-RRY]")
    {
        const std::vector records{failed(16), failed(34), failed(53), failed(75), failed(93), failed(120)};
        const auto        y_on_x = rank_regression(records, RankAxis::y_on_x, RankRule::exact);
        const auto        x_on_y = rank_regression(records, RankAxis::x_on_y, RankRule::exact);
        CHECK(y_on_x->shape == doctest::Approx(1.430).epsilon(5e-4));
        CHECK(x_on_y->shape == doctest::Approx(1.443).epsilon(5e-4));
        CHECK(y_on_x->r_squared == doctest::Approx(x_on_y->r_squared).epsilon(1e-12));
        CHECK(x_on_y->shape > y_on_x->shape);
    }

    TEST_CASE("what cannot be is refused")
    {
        const double nan = std::numeric_limits<double>::quiet_NaN();
        for (const double bad : {nan, 0.0, 6.5, -1.0, std::numeric_limits<double>::infinity()})
            CHECK_FALSE(median_rank(bad, 6, RankRule::exact));
        CHECK_FALSE(median_rank(1, 0, RankRule::exact));
        CHECK_FALSE(median_rank(1, 100'000'000, RankRule::exact));
        CHECK_FALSE(median_ranks({}, RankRule::exact));
        CHECK_FALSE(median_ranks(std::vector{running(5)}, RankRule::exact));
        CHECK_FALSE(median_ranks(std::vector{failed(5, 200'000)}, RankRule::exact));
        CHECK_FALSE(rank_regression(std::vector{failed(5)}, RankAxis::x_on_y, RankRule::exact));
        CHECK_FALSE(rank_regression(std::vector{failed(5, 3)}, RankAxis::y_on_x, RankRule::exact));
        CHECK_FALSE(rank_regression(std::vector{failed(nan), failed(3)}, RankAxis::y_on_x, RankRule::exact));
    }
}
