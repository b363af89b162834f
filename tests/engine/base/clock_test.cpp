#include "engine/base/clock.h"

#include <doctest/doctest.h>

TEST_SUITE("engine/base/clock")
{
    TEST_CASE("a moment is written as the wall clock of its own zone showed it")
    {
        // 2026-11-25T07:05:00Z, by `date -u -d @1795590300`
        constexpr std::int64_t kMoment_ms = 1'795'590'300'000;
        CHECK(engine::hour_minute(kMoment_ms, 0) == "07:05");
        CHECK(engine::hour_minute(kMoment_ms, 60) == "08:05");
        CHECK(engine::date_time(kMoment_ms, -480) == "2026-11-24 23:05"); // the day before, eight hours west
        CHECK(engine::day_month(kMoment_ms, 0) == "25 Nov");
        CHECK(engine::date_time(-1, 0) == "1969-12-31 23:59"); // a clock that was never set
    }

    TEST_CASE("the machine's own clock goes forward and knows its boot")
    {
        const auto clock = engine::system_clock();
        const auto first = clock->now();
        const auto then  = clock->now();
        CHECK(then.mono_ms >= first.mono_ms);
        CHECK(first.wall_ms > 1'700'000'000'000); // after this was written
        CHECK(first.tz_min > -16 * 60);
        CHECK(first.tz_min < 16 * 60);
        CHECK(clock->boot_id().size() == 8);
        CHECK(clock->boot_id() == engine::system_clock()->boot_id());
    }
}
