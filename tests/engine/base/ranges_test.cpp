// A refusal whose own numbers contradict it is no help at three in the morning.
#include "engine/base/ranges.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>

using namespace engine;

namespace {

std::string told(const Range& range, double value)
{
    const auto bad = out_of(range, value, "friction");
    return bad ? bad->error.message : "";
}

} // namespace

TEST_SUITE("engine/base/ranges")
{
    TEST_CASE("the value told is seen to be outside the limit told")
    {
        CHECK(told({0.02, 0.6, "", 2}, 0.01999) ==
              "The friction is 0.01999; it must lie between 0.02 and 0.60.");
        CHECK(told({0.02, 0.6, "", 2}, 0.6000004) ==
              "The friction is 0.6000004; it must lie between 0.02 and 0.60.");
        CHECK(told({10, 1000, "mm", 0}, 9.9999) ==
              "The friction is 9.9999 mm; it must lie between 10 and 1000 mm.");
        // A limit that is no round number itself shows what it needs.
        CHECK(told({0.1, 7.9375, "mm", 2}, 7.938) ==
              "The friction is 7.9380 mm; it must lie between 0.10 and 7.9375 mm.");
        CHECK(told({10, 1000, "mm", 0}, 0) ==
              "The friction is 0.000 mm; it must lie between 10 and 1000 mm.");
        CHECK(told({10, 1000, "mm", 0}, std::numeric_limits<double>::quiet_NaN()) ==
              "The friction is not a number that can be used; it must lie between 10 and 1000 mm.");
        CHECK(told({10, 1000, "mm", 0}, 10).empty());
    }

    TEST_CASE("however close the value, the two numbers of the sentence are in the right order")
    {
        for (const double limit : {0.02, 0.6, 1.0 / 3, 7.9375, 1440.0, 1e7}) {
            double step = limit / 10;
            for (int i = 0; i < 50; ++i, step /= 2) {
                const double over = limit + step, under = limit - step;
                CAPTURE(limit);
                CAPTURE(step);
                if (over > limit) {
                    const auto shown = shown_outside(over, limit, 2);
                    CHECK(std::stod(shown.value) > std::stod(shown.limit));
                }
                if (under < limit) {
                    const auto shown = shown_outside(under, limit, 2);
                    CHECK(std::stod(shown.value) < std::stod(shown.limit));
                }
            }
        }
    }
}
