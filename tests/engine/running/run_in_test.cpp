#include "engine/running/run_in.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <vector>

using namespace engine;

namespace {

using Series = std::vector<RunInPoint>;

/// level + a exp(-t/tau), every `every` minutes, with a ripple like that of a real thermometer.
Series curve(double level, double a, double tau, double minutes, double ripple = 0)
{
    Series series;
    for (double t = 0; t <= minutes; t += 5)
        series.push_back({t, Celsius{level + a * std::exp(-t / tau) + ripple * std::sin(t)}, Celsius{20}});
    return series;
}

/// Warms to a peak, then the fresh grease settles and it falls to its level.
Series with_peak(double peak, double level)
{
    Series series;
    for (double t = 0; t <= 40; t += 5)
        series.push_back({t, Celsius{20 + (peak - 20) * std::sin(t / 40 * 1.5707963)}, Celsius{20}});
    for (double t = 45; t <= 240; t += 5)
        series.push_back({t, Celsius{level + (peak - level) * std::exp(-(t - 40) / 40)}, Celsius{20}});
    return series;
}

} // namespace

TEST_SUITE("engine/running/run_in")
{
    TEST_CASE("the level and the time to it are found from an exponential, long before it is reached")
    {
        for (const double tau : {15.0, 30.0, 60.0}) {
            CAPTURE(tau);
            const auto run = judge_run_in(curve(52, -32, tau, 3 * tau), {});
            REQUIRE(run);
            CHECK(run->level.value == doctest::Approx(52).epsilon(0.005));
            CHECK(*run->level_after_min == doctest::Approx(tau * std::log(32 / 2.0)).epsilon(0.02));
        }
        const auto ripple = judge_run_in(curve(52, -32, 30, 150, 0.3), {});
        CHECK(ripple->level.value == doctest::Approx(52).epsilon(0.01));
        CHECK(ripple->verdict == Verdict::inside);
    }

    // Housing surface at most 80 C and 40 K over the air; levels out in 20 min to hours [YR8] [RIGBRS].
    TEST_CASE("a bearing that levels out below both published limits is inside [YR8]")
    {
        const auto run = judge_run_in(curve(52, -32, 30, 180), {});
        REQUIRE(run);
        CHECK(run->levelled);
        CHECK(run->rise->value == doctest::Approx(32).epsilon(0.01));
        CHECK(run->verdict == Verdict::inside);
        CHECK(run->sentence.empty());
        CHECK(judge_run_in(curve(65, -45, 30, 180), {})->verdict == Verdict::outside);   // 45 K over the air
        CHECK(judge_run_in(curve(60, -40, 30, 240), {})->verdict == Verdict::undecided); // 40 K, 1 K of doubt
    }

    TEST_CASE("a peak that falls to its level is normal")
    {
        const auto run = judge_run_in(with_peak(70, 48), {});
        REQUIRE(run);
        CHECK(run->peak.value == doctest::Approx(70).epsilon(1e-6));
        CHECK(run->peak_at_min == 40);
        CHECK(run->level.value == doctest::Approx(48).epsilon(0.01));
        CHECK(run->verdict == Verdict::inside);
        CHECK_FALSE(run->runaway);
    }

    TEST_CASE("a peak over the limit is outside even when it falls afterwards")
    {
        const auto run = judge_run_in(with_peak(85, 48), {});
        CHECK(run->verdict == Verdict::outside);
        CHECK(run->sentence.find("over 80 C") != std::string::npos);
    }

    TEST_CASE("a runaway is stopped while it happens, below the limit")
    {
        Series series;
        double stopped_at = 0;
        for (double t = 0; t <= 60 && stopped_at == 0; t += 2) {
            series.push_back({t, Celsius{20 + 5 * std::exp(t / 20)}, Celsius{20}});
            const auto run = judge_run_in(series, {});
            REQUIRE(run);
            if (run->runaway) {
                stopped_at = series.back().bearing.value;
                CHECK(run->verdict == Verdict::outside);
                CHECK(run->sentence.find("stop") != std::string::npos);
            }
        }
        CHECK(stopped_at > 35);
        CHECK(stopped_at < 60); // 80 would be the limit
    }

    TEST_CASE("no healthy start is called a runaway at any moment of it")
    {
        for (const double tau : {10.0, 30.0, 90.0})
            for (const auto& series : {curve(55, -35, tau, 240, 0.2), with_peak(72, 50)})
                for (std::size_t n = 1; n <= series.size(); ++n) {
                    const auto run = judge_run_in(std::span(series).first(n), {});
                    REQUIRE(run);
                    CAPTURE(n);
                    CHECK_FALSE(run->runaway);
                    CHECK(run->verdict != Verdict::outside);
                }
    }

    TEST_CASE("what has not levelled out is undecided, and says so")
    {
        const auto early = judge_run_in(curve(52, -32, 60, 40), {});
        CHECK(early->verdict == Verdict::undecided);
        CHECK(early->sentence.find("not levelled") != std::string::npos);
        CHECK_FALSE(early->levelled);
        const auto hot = judge_run_in(curve(95, -75, 60, 60), {});
        CHECK(hot->verdict == Verdict::undecided);
        CHECK(hot->sentence.find("heading") != std::string::npos);
        Series straight;
        for (double t = 0; t <= 100; t += 5)
            straight.push_back({t, Celsius{20 + 0.25 * t}, {}});
        CHECK(judge_run_in(straight, {})->verdict == Verdict::undecided);
        CHECK_FALSE(judge_run_in(straight, {})->levelled);
    }

    TEST_CASE("a machine that stands at one temperature has levelled out")
    {
        Series flat;
        for (double t = 0; t <= 60; t += 5)
            flat.push_back({t, Celsius{41 + 0.2 * std::sin(t)}, Celsius{22}});
        const auto run = judge_run_in(flat, {});
        CHECK(run->levelled);
        CHECK(run->verdict == Verdict::inside);
    }

    TEST_CASE("series that cannot be are refused")
    {
        CHECK_FALSE(judge_run_in({}, {}));
        const double nan = std::numeric_limits<double>::quiet_NaN();
        for (const double bad : {nan, -300.0, 1e9, std::numeric_limits<double>::infinity()}) {
            CHECK_FALSE(judge_run_in(Series{{0, Celsius{bad}, {}}}, {}));
            CHECK_FALSE(judge_run_in(Series{{bad, Celsius{20}, {}}}, {}));
            CHECK_FALSE(judge_run_in(Series{{0, Celsius{20}, Celsius{bad}}}, {}));
            CHECK_FALSE(judge_run_in(Series{{0, Celsius{20}, {}}}, {Celsius{bad}}));
        }
        CHECK(judge_run_in(Series{{5, Celsius{20}, {}}, {5, Celsius{21}, {}}}, {})
                  .error()
                  .message.find("5.0 min") != std::string::npos);
    }

    TEST_CASE("a sheet of readings is read, and a bad cell names its line")
    {
        const auto good = parse_csv("minutes,temperature_c,ambient_c\n0,20,19\n5,25,\n10,29,20\n", "run.csv");
        const auto series = run_in_from(*good);
        REQUIRE(series);
        CHECK(series->size() == 3);
        CHECK_FALSE((*series)[1].ambient);
        CHECK((*series)[2].ambient->value == 20);
        CHECK(run_in_from(*parse_csv("minutes,temperature_c\n0,20\n5,hot\n", "run.csv"))
                  .error()
                  .message.find("run.csv:3") == 0);
        CHECK_FALSE(run_in_from(*parse_csv("time,temp\n0,20\n", "run.csv")));
    }
}
