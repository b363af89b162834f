// The run-in as its readings come: what is known when, and that a stop once due stays due.
#include "engine/running/run_in.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using namespace engine;

namespace {

RunInPoint at(double minute, double celsius)
{
    return {minute, Celsius{celsius}, Celsius{20}};
}

/// Levels out at `level` with the time constant tau, from 20 C.
double warming(double minute, double level, double tau)
{
    return level - (level - 20) * std::exp(-minute / tau);
}

} // namespace

TEST_SUITE("engine/running/run_in_watch")
{
    TEST_CASE("reading by reading or all at once, the judgement is the same")
    {
        std::vector<RunInPoint> series;
        for (double t = 0; t <= 120; t += 4)
            series.push_back(at(t, warming(t, 55, 25) + 0.3 * std::sin(3 * t)));
        RunInWatch watch;
        for (std::size_t i = 0; i < series.size(); ++i) {
            const auto step = watch.add(series[i]);
            const auto once = judge_run_in(std::span(series).first(i + 1), {});
            REQUIRE(step);
            REQUIRE(once);
            CHECK(step->level == once->level);
            CHECK(step->verdict == once->verdict);
            CHECK(step->sentence == once->sentence);
            CHECK(step->level_after_min == once->level_after_min);
        }
        CHECK(watch.readings().size() == series.size());
    }

    TEST_CASE("a refused reading is not kept")
    {
        RunInWatch watch;
        CHECK(watch.judge().error().fault == Fault::bad_input);
        REQUIRE(watch.add(at(0, 20)));
        REQUIRE(watch.add(at(5, 25)));
        CHECK_FALSE(watch.add(at(5, 26)));
        CHECK_FALSE(watch.add(at(4, 26)));
        CHECK_FALSE(watch.add(at(10, std::numeric_limits<double>::quiet_NaN())));
        CHECK_FALSE(watch.add(at(10, 1e6)));
        CHECK(watch.readings().size() == 2);
        CHECK(watch.judge()->peak.value == 25);
    }

    TEST_CASE("limits that cannot be are refused at the first reading")
    {
        for (const double bad : {std::numeric_limits<double>::quiet_NaN(), -5.0, 1e9}) {
            RunInLimits limits;
            limits.limit = Celsius{bad};
            CHECK_FALSE(RunInWatch(limits).add(at(0, 20)));
            CHECK_FALSE(RunInWatch(limits).judge());
            limits      = {};
            limits.rise = Kelvins{bad};
            CHECK_FALSE(RunInWatch(limits).add(at(0, 20)));
            limits   = {};
            limits.u = Kelvins{bad};
            CHECK_FALSE(RunInWatch(limits).add(at(0, 20)));
        }
    }

    TEST_CASE("a runaway that was stopped and cooled down stays a runaway")
    {
        RunInWatch watch;
        double     stopped = 0, t = 0;
        for (; t <= 60 && stopped == 0; t += 2)
            if (watch.add(at(t, 20 + 5 * std::exp(t / 20)))->stop == RunInStop::runaway) stopped = t;
        REQUIRE(stopped > 0);
        for (; t <= 200; t += 5)
            REQUIRE(watch.add(at(t, 20 + 15 * std::exp(-(t - stopped) / 30))));
        const auto after = watch.judge();
        CHECK(after->verdict == Verdict::outside);
        CHECK(after->runaway);
        CHECK(*after->stop_at_min == stopped);
        CHECK(after->sentence.find("stop") != std::string::npos);
    }

    TEST_CASE("the moment the limit was passed is kept")
    {
        RunInWatch watch;
        for (double t = 0; t <= 60; t += 2)
            REQUIRE(watch.add(at(t, warming(t, 100, 30))));
        const auto run = watch.judge();
        CHECK(run->stop == RunInStop::over_limit);
        // 81 C (80 and 1 K of doubt) at t = 30 ln(80/19) = 43.1 min: the reading after it.
        CHECK(*run->stop_at_min == 44);
    }

    TEST_CASE("a rough thermometer of whole degrees does not cry runaway in a healthy run")
    {
        for (const double tau : {8.0, 15.0, 30.0, 60.0})
            for (const double every : {1.0, 2.0, 5.0}) {
                RunInWatch watch;
                for (double t = 0; t <= 180; t += every) {
                    const auto run = watch.add(at(t, std::round(warming(t, 58, tau))));
                    REQUIRE(run);
                    CAPTURE(t);
                    CHECK(run->stop == RunInStop::none);
                }
                // The slowest has 1.9 K to come and rises by 1.9 K an hour: whole degrees cannot tell that
                // from 2.
                CHECK((tau > 30 || watch.judge()->verdict == Verdict::inside));
            }
    }

    TEST_CASE("a step up in speed warms afresh and is no runaway; unmarked it would look like one")
    {
        const auto second      = [](double t) { return 45 + 30 * (1 - std::exp(-(t - 60) / 20)); };
        bool       marked_stop = false, unmarked_stop = false;
        RunInWatch marked, unmarked;
        for (double t = 0; t <= 180; t += 2) {
            RunInPoint point = at(t, t < 60 ? warming(t, 46, 15) : second(t));
            point.ambient    = Celsius{40};
            unmarked_stop    = unmarked_stop || unmarked.add(point)->stop == RunInStop::runaway;
            point.new_speed  = t == 60;
            marked_stop      = marked_stop || marked.add(point)->stop == RunInStop::runaway;
        }
        CHECK_FALSE(marked_stop);
        CHECK(unmarked_stop);
        CHECK(marked.judge()->level.value == doctest::Approx(75).epsilon(1e-3));
    }

    TEST_CASE("where it goes on to the limit, the forecast says when")
    {
        RunInWatch watch;
        for (double t = 0; t <= 40; t += 2)
            REQUIRE(watch.add(at(t, warming(t, 95, 40))));
        const auto run = watch.judge();
        REQUIRE(run->limit_at_min);
        CHECK(*run->limit_at_min == doctest::Approx(40 * std::log(75.0 / 15)).epsilon(1e-3));
        CHECK(run->sentence.find("64 min") != std::string::npos);
        // A straight rise of a quarter of a kelvin a minute from 20 C meets 80 C after 240 min.
        RunInWatch straight;
        for (double t = 0; t <= 100; t += 5)
            REQUIRE(straight.add(at(t, 20 + 0.25 * t)));
        CHECK(*straight.judge()->limit_at_min == doctest::Approx(240).epsilon(1e-6));
        CHECK_FALSE(judge_run_in(std::vector{at(0, 20), at(5, 24)}, {})->limit_at_min);
    }

    TEST_CASE("more scatter, more doubt about the level")
    {
        double before = -1;
        for (const double ripple : {0.0, 0.2, 0.5, 1.0}) {
            RunInWatch watch;
            for (int i = 0; i <= 60; ++i)
                REQUIRE(watch.add(at(2.0 * i, warming(2.0 * i, 55, 30) + (i % 2 == 0 ? ripple : -ripple))));
            const double u = watch.judge()->level_u.value;
            CHECK(u > before);
            before = u;
        }
        CHECK(before < 1.5);
    }

    TEST_CASE("a hundred thousand readings are taken, one more is not")
    {
        RunInWatch watch;
        for (int i = 0; i < 100'000; ++i)
            REQUIRE(watch.take(at(0.01 * i, warming(0.01 * i, 50, 100))));
        CHECK_FALSE(watch.take(at(99'999, 50)));
        CHECK(watch.judge()->level.value == doctest::Approx(50).epsilon(1e-6));
    }

    TEST_CASE("a sheet with a speed column marks each change of speed")
    {
        const auto table =
            parse_csv("minutes,temperature_c,speed_rpm\n0,20,300\n5,25,300\n10,28,600\n15,33,\n"
                      "20,35,600\n",
                      "run.csv");
        const auto series = run_in_from(*table);
        REQUIRE(series);
        CHECK_FALSE((*series)[0].new_speed);
        CHECK_FALSE((*series)[1].new_speed);
        CHECK((*series)[2].new_speed);
        CHECK_FALSE((*series)[3].new_speed);
        CHECK_FALSE((*series)[4].new_speed);
        CHECK(run_in_from(*parse_csv("minutes,temperature_c,speed_rpm\n0,20,fast\n", "run.csv"))
                  .error()
                  .message.find("run.csv:2") == 0);
        CHECK_FALSE(run_in_from(*parse_csv("minutes,temperature_c,ambient_c\n0,20,cold\n", "run.csv")));
    }
}
