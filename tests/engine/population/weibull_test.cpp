#include "engine/evidence/population/weibull.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/support/reference.h"

using namespace engine;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInf = std::numeric_limits<double>::infinity();

std::vector<LifeRecord> nist()
{
    const support::Reference table("weibull_data");
    std::vector<LifeRecord>  records;
    for (std::size_t row = 0; row < table.rows(); ++row)
        records.push_back({"", Hours{table.number(row, "time_h")}, table.text(row, "event") == "1",
                           static_cast<int>(table.number(row, "count"))});
    return records;
}

/// Lives drawn from a known Weibull, taken off test at `end`.
std::vector<LifeRecord> drawn(double shape, double scale, int n, double end, unsigned seed)
{
    std::mt19937            dice(seed);
    std::vector<LifeRecord> records;
    for (int i = 0; i < n; ++i) {
        const double u = (static_cast<double>(dice()) + 0.5) / 4294967296.0;
        const double t = scale * std::pow(-std::log(u), 1 / shape);
        records.push_back({"", Hours{std::min(t, end)}, t < end, 1});
    }
    return records;
}

std::vector<LifeRecord> failures(std::initializer_list<double> hours)
{
    std::vector<LifeRecord> records;
    for (const double h : hours)
        records.push_back({"", Hours{h}, true, 1});
    return records;
}

} // namespace

TEST_SUITE("engine/population/weibull")
{
    TEST_CASE("the worked example of failures and suspensions comes out as printed [NIST-APR413]")
    {
        const auto fit = fit_weibull(nist());
        REQUIRE(fit);
        const support::Reference table("weibull_examples");
        int                      checked = 0;
        const auto               check   = [&](const std::string& quantity, double found, double epsilon) {
            for (std::size_t row = 0; row < table.rows(); ++row) {
                if (table.text(row, "dataset") != "NIST" || table.text(row, "quantity") != quantity) continue;
                CAPTURE(quantity);
                // Printed answers to their printed digits; the rest was worked out by another program.
                if (const auto printed = table.maybe(row, "published"))
                    CHECK(found == doctest::Approx(*printed).epsilon(epsilon));
                CHECK(found == doctest::Approx(table.number(row, "computed")).epsilon(1e-6));
                ++checked;
            }
        };
        check("MLE shape beta", fit->shape, 5e-5);
        check("MLE scale eta h", fit->scale.value, 2e-6);
        check("minus log likelihood", -fit->log_likelihood, 1e-5);
        check("mean h", fit->mean.value, 2e-6);
        check("standard deviation h", fit->deviation.value, 2e-6);
        check("se(beta) observed information", fit->shape_se, 0);
        check("se(eta) h", fit->scale_se.value, 0);
        check("cov(beta,eta)", fit->covariance, 0);
        // Bounds of the log-normal form hang on the standard errors alone.
        const auto form = [](double value, double error, int side) {
            return value * std::exp(side * 1.959963984540054 * error / value);
        };
        check("beta 95 % lower, log-normal form", form(fit->shape, fit->shape_se, -1), 0);
        check("beta 95 % upper", form(fit->shape, fit->shape_se, 1), 0);
        check("eta 95 % lower h", form(fit->scale.value, fit->scale_se.value, -1), 0);
        check("eta 95 % upper h", form(fit->scale.value, fit->scale_se.value, 1), 0);
        check("B10 life h", fit->b10.value, 0);
        CHECK(checked == 13);
        CHECK(fit->failures == 10);
        CHECK(fit->suspensions == 10);
    }

    TEST_CASE("hours, days or thousands of hours: the shape is the same and the scale goes along")
    {
        const auto records  = nist();
        const auto in_hours = fit_weibull(records);
        for (const double factor : {1 / 24.0, 1e-3, 60.0, 1e3}) {
            auto other = records;
            for (LifeRecord& r : other)
                r.time = Hours{r.time.value * factor};
            const auto fit = fit_weibull(other);
            REQUIRE(fit);
            CHECK(fit->shape == doctest::Approx(in_hours->shape).epsilon(1e-9));
            CHECK(fit->scale / in_hours->scale == doctest::Approx(factor).epsilon(1e-9));
            CHECK(fit->b10_low / in_hours->b10_low == doctest::Approx(factor).epsilon(1e-9));
        }
    }

    TEST_CASE("counts and single records are the same population, in any order")
    {
        std::vector<LifeRecord> single;
        for (const LifeRecord& r : nist())
            for (int i = 0; i < r.count; ++i)
                single.insert(single.begin(), {r.group, r.time, r.failed, 1});
        CHECK(fit_weibull(single)->shape == doctest::Approx(fit_weibull(nist())->shape).epsilon(1e-12));
    }

    TEST_CASE("bounds hold the true shape about as often as they claim, and grow with the confidence")
    {
        int held = 0;
        for (unsigned seed = 1; seed <= 200; ++seed) {
            const auto fit = fit_weibull(drawn(1.5, 10'000, 60, 15'000, seed));
            REQUIRE(fit);
            held += fit->shape_low <= 1.5 && 1.5 <= fit->shape_high ? 1 : 0;
            CHECK(fit->b10_low < fit->b10);
            CHECK(fit->b10 < fit->b10_high);
        }
        CHECK(held >= 180); // 190 of 200 are due; the chance of fewer than 180 is below 1 in 1000
        CHECK(held <= 199);
        CHECK(fit_weibull(nist(), 0.99)->shape_low < fit_weibull(nist(), 0.9)->shape_low);
        CHECK(fit_weibull(nist(), 0.99)->b10_high > fit_weibull(nist(), 0.9)->b10_high);
    }

    TEST_CASE("at five to ten failures the bounds hold the truth as often as they claim")
    {
        int shape = 0, scale = 0, b10 = 0, count = 0;
        for (unsigned seed = 1; seed <= 400; ++seed) {
            const auto fit =
                fit_weibull(drawn(1.5, 10'000, 5 + static_cast<int>(seed % 6), 1e6, seed * 2'654'435'761U));
            REQUIRE(fit);
            shape += fit->shape_low <= 1.5 && 1.5 <= fit->shape_high ? 1 : 0;
            scale += fit->scale_low.value <= 10'000 && 10'000 <= fit->scale_high.value ? 1 : 0;
            const double tenth = 10'000 * std::pow(-std::log(0.9), 1 / 1.5);
            b10 += fit->b10_low.value <= tenth && tenth <= fit->b10_high.value ? 1 : 0;
            ++count;
        }
        // 380 of 400 are due, give or take 4.4; bounds from the curvature alone reach 340 to 360.
        CHECK(count == 400);
        for (const int held : {shape, scale, b10}) {
            CHECK(held >= 367);
            CHECK(held <= 392);
        }
    }

    // Classes of the shape [PTC-MR].
    TEST_CASE("the plain words follow the shape and what the bounds prove [PTC-MR]")
    {
        const auto reading = [](double shape, int n) {
            return fit_weibull(drawn(shape, 5000, n, 1e6, 7))->reading;
        };
        CHECK(reading(0.6, 200).find("early failures. Look at installation first") != std::string::npos);
        CHECK(reading(2.5, 200).find("wear") != std::string::npos);
        CHECK(reading(6, 200).find("above 4") != std::string::npos);
        CHECK(reading(1.02, 40).find("cannot be told from 1") != std::string::npos);
        // A shape of 0.6 from four failures, and one of 5 from six: the bounds prove neither, and nothing is
        // said.
        const auto early = fit_weibull(failures({3, 40, 200, 900}));
        CHECK(early->shape < 0.7);
        CHECK(early->reading.find("cannot be told from 1") != std::string::npos);
        CHECK(early->reading.find("points to") == std::string::npos);
        const auto steep = fit_weibull(failures({700, 820, 900, 980, 1050, 1160}));
        CHECK(steep->shape > 4);
        CHECK(steep->shape_low < 4);
        CHECK(steep->reading.find("above 4") == std::string::npos);
        CHECK(steep->reading.find("Shape above 1: wear") != std::string::npos);
        CHECK(fit_weibull(failures({3, 40, 200, 900}))->reading.find("Only 4 failures") != std::string::npos);
    }

    TEST_CASE("share running and time to a share are each other's inverse")
    {
        for (const double shape : {0.5, 1.0, 1.7, 8.0})
            for (const double share : {0.001, 0.1, 0.5, 0.632120558828558, 0.999}) {
                const auto time = weibull_quantile(shape, Hours{6000}, share);
                REQUIRE(time);
                CHECK(*weibull_reliability(shape, Hours{6000}, *time) ==
                      doctest::Approx(1 - share).epsilon(1e-9));
            }
        CHECK(weibull_quantile(2, Hours{6000}, 0.632120558828558)->value == doctest::Approx(6000));
        CHECK(*weibull_reliability(2, Hours{6000}, Hours{0}) == 1);
        for (const double bad : {kNan, -1.0, kInf}) {
            CHECK_FALSE(weibull_reliability(bad, Hours{6000}, Hours{10}));
            CHECK_FALSE(weibull_reliability(2, Hours{bad}, Hours{10}));
            CHECK_FALSE(weibull_reliability(2, Hours{6000}, Hours{bad}));
            CHECK_FALSE(weibull_quantile(bad, Hours{6000}, 0.1));
            CHECK_FALSE(weibull_quantile(2, Hours{bad}, 0.1));
            CHECK_FALSE(weibull_quantile(2, Hours{6000}, bad));
        }
        CHECK_FALSE(weibull_quantile(2, Hours{6000}, 0));
        CHECK_FALSE(weibull_quantile(2, Hours{6000}, 1));
    }

    TEST_CASE("records that cannot carry a life are refused")
    {
        CHECK(fit_weibull({}).error().fault == Fault::bad_input);
        CHECK(fit_weibull(failures({100})).error().message.find("two failures") != std::string::npos);
        CHECK_FALSE(fit_weibull(failures({100, 100, 100})));
        CHECK_FALSE(fit_weibull(std::vector<LifeRecord>{{"", Hours{100}, false, 50}}));
        CHECK(fit_weibull(failures({100, 100.0001})).error().message.find("0.02 to 100") !=
              std::string::npos);
        for (const double bad : {kNan, 0.0, -5.0, 1e9, kInf})
            CHECK_FALSE(fit_weibull(failures({100, 200, bad})));
        for (const int bad : {0, -1, 2'000'000}) {
            auto records     = failures({100, 200});
            records[0].count = bad;
            CHECK_FALSE(fit_weibull(records));
        }
        for (const double bad : {kNan, 0.0, 1.0, 95.0, -1.0})
            CHECK_FALSE(fit_weibull(nist(), bad));
    }

    TEST_CASE("the ends of the range give numbers, not infinities")
    {
        for (const auto& records :
             {failures({0.001, 1e7}), failures({9'999'999, 1e7, 1e7}), failures({0.001, 0.0011, 1e7})}) {
            const auto fit = fit_weibull(records);
            if (!fit) continue;
            for (const double value :
                 {fit->shape, fit->shape_high, fit->scale_high.value, fit->b10_high.value, fit->mean.value,
                  fit->deviation.value, fit->log_likelihood})
                CHECK(std::isfinite(value));
        }
    }
}
