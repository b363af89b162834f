// What a run-in is worth knowing: how often "level" and "inside" are right, against machines whose end is
// known.
#include "engine/running/run_in.h"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <vector>

#include "tests/bench/truth.h"

using namespace engine;

namespace {

/// A bearing that follows in 12 minutes in a housing that takes 150, with a little scatter.
std::vector<RunInPoint> slow_housing(double minutes, double every, double scatter, unsigned seed)
{
    std::mt19937                     dice(seed);
    std::normal_distribution<double> noise(0, scatter);
    std::vector<RunInPoint>          series;
    for (double t = 0; t <= minutes; t += every)
        series.push_back({t,
                          Celsius{20 + 18 * (1 - std::exp(-t / 12)) + 14 * (1 - std::exp(-t / 150)) +
                                  (scatter > 0 ? noise(dice) : 0)},
                          Celsius{20}});
    return series;
}

RunIn judged(const std::vector<RunInPoint>& series)
{
    const auto run = judge_run_in(series, {});
    REQUIRE(run);
    return *run;
}

} // namespace

TEST_SUITE("engine/running/run_in_truth")
{
    TEST_CASE("a fast bearing in a slow housing is not called level while kelvins are still to come")
    {
        int held = 0;
        for (unsigned seed = 1; seed <= 20; ++seed)
            for (const double minutes : {120.0, 150.0, 180.0, 240.0}) { // 6.3, 5.2, 4.2, 2.8 K to come
                CAPTURE(seed);
                CAPTURE(minutes);
                const RunIn run = judged(slow_housing(minutes, 2, 0.15, seed));
                CHECK_FALSE(run.levelled);
                CHECK(run.verdict == Verdict::undecided);
                held += run.level_low->value <= 52 && run.level_high->value >= 52 ? 1 : 0;
            }
        CHECK(held >= 74);                                        // of 80, by an interval of 95 %
        const RunIn late = judged(slow_housing(600, 2, 0.15, 1)); // 0.3 K to come
        CHECK(late.levelled);
        CHECK(late.verdict == Verdict::inside);
        CHECK(late.model == "two exponentials");
    }

    TEST_CASE("two parts are found again where they are, and not where there is one")
    {
        const RunIn two = judged(slow_housing(400, 2, 0, 1));
        CHECK(two.model == "two exponentials");
        CHECK(two.level.value == doctest::Approx(52).epsilon(1e-4));
        // 14 K (1/150 min) exp(-400/150), an hour.
        CHECK(*two.slope_k_h == doctest::Approx(14 / 150.0 * std::exp(-400 / 150.0) * 60).epsilon(0.02));
        std::vector<RunInPoint> one;
        for (double t = 0; t <= 200; t += 2)
            one.push_back({t, Celsius{52 - 32 * std::exp(-t / 30) + 0.1 * std::sin(t)}, Celsius{20}});
        CHECK(judged(one).model == "one exponential");
        CHECK(std::abs(*judged(one).slope_k_h) < 0.5);
    }

    TEST_CASE("level wants a small slope: a steady rise of 4 K an hour is never level")
    {
        std::vector<RunInPoint> series;
        for (double t = 0; t <= 300; t += 5)
            series.push_back({t, Celsius{50 - 25 * std::exp(-t / 15) + t * 4 / 60}, Celsius{20}});
        const RunIn run = judged(series);
        CHECK_FALSE(run.levelled);
        CHECK(*run.slope_k_h == doctest::Approx(4).epsilon(0.3));
    }

    TEST_CASE("the level's interval holds the thermometer's own uncertainty")
    {
        std::vector<RunInPoint> series;
        for (double t = 0; t <= 240; t += 2)
            series.push_back({t, Celsius{52 - 32 * std::exp(-t / 30)}, Celsius{20}});
        for (const double u : {0.5, 1.0, 2.0}) {
            RunInLimits limits;
            limits.u       = Kelvins{u};
            const auto run = judge_run_in(series, limits);
            REQUIRE(run);
            CHECK(run->level_high->value - run->level.value >= 0.98 * u);
            CHECK(run->level.value - run->level_low->value >= 0.98 * u);
            CHECK(run->level_high->value - run->level_low->value < 2 * u + 1);
            // The rise hangs on two thermometers.
            CHECK(run->rise_high->value - run->rise->value >= u * std::sqrt(2.0) * 0.98);
        }
    }

    TEST_CASE("without the air the rise is not judged, and it is said")
    {
        std::vector<RunInPoint> series;
        for (double t = 0; t <= 240; t += 2)
            series.push_back({t, Celsius{72 - 52 * std::exp(-t / 30)}, std::nullopt});
        const RunIn bare = judged(series);
        CHECK_FALSE(bare.rise);
        CHECK(bare.advice.find("no air temperature") != std::string::npos);
        CHECK(bare.verdict == Verdict::inside); // 72 C is below 80 C
        series.back().ambient = Celsius{20};
        CHECK(judged(series).verdict == Verdict::outside); // 52 K over the air
        CHECK(judged(series).advice.empty());
    }

    TEST_CASE("a draught that cools the housing is no level of its own")
    {
        // The air falls by 6 K after two hours; the housing follows in 40 minutes.
        std::vector<RunInPoint> series;
        for (double t = 0; t <= 140; t += 2) {
            const double draught = t < 120 ? 0 : -6 * (1 - std::exp(-(t - 120) / 40));
            series.push_back(
                {t, Celsius{55 - 35 * std::exp(-t / 40) + draught}, Celsius{t < 120 ? 20.0 : 14.0}});
        }
        const RunIn run = judged(series);
        CHECK(run.level_low->value <= 49);
        CHECK(run.level_high->value >= 49);
        CHECK(run.rise->value == doctest::Approx(35).epsilon(0.06));
    }

    TEST_CASE("scatter of 0.75 K stops no healthy run, and the level just below the limit is not over it")
    {
        int stops = 0;
        for (unsigned seed = 1; seed <= 150; ++seed) {
            std::mt19937                     dice(seed);
            std::normal_distribution<double> noise(0, 0.75);
            RunInWatch                       watch;
            const double                     level = seed % 2 == 0 ? 55 : 79.5;
            for (double t = 0; t <= 240; t += 1)
                REQUIRE(watch.take(
                    {t, Celsius{level - (level - 20) * std::exp(-t / 25) + noise(dice)}, Celsius{20}}));
            stops += watch.judge()->stop == RunInStop::none ? 0 : 1;
        }
        CHECK(stops <= 3);
    }

    TEST_CASE("against machines whose end is known, a small run of the figures keeps its bars")
    {
        // Wider where so few cases scatter.
        for (const truth::Row& row : truth::run_in(400, 3)) {
            CAPTURE(row.what);
            CAPTURE(row.measured);
            CHECK(row.measured >= row.low - 4);
            CHECK(row.measured <= row.high + 2);
        }
    }
}
