#include "sync/background.h"

#include <doctest/doctest.h>

#include "tests/support/fake_clock.h"

using share::Background;
using support::FakeClock;

TEST_SUITE("sync/background")
{
    TEST_CASE("a pass is due at once when the folder is there, then every 30 seconds at most")
    {
        FakeClock  clock;
        Background pace(clock);
        CHECK_FALSE(pace.due(false));
        CHECK(pace.due(true));
        pace.began();
        CHECK_FALSE(pace.due(true)); // one at a time
        pace.finished(true);
        CHECK_FALSE(pace.due(true));
        clock.advance(Background::kPause - 1);
        CHECK_FALSE(pace.due(true));
        clock.advance(1);
        CHECK(pace.due(true));
    }

    TEST_CASE("a folder that fails is tried after 0.1 s, doubled up to 5 minutes")
    {
        FakeClock    clock;
        Background   pace(clock);
        std::int64_t expected = 100;
        REQUIRE(pace.due(true));
        for (int failures = 1; failures <= 20; ++failures) {
            pace.began();
            pace.finished(false);
            CHECK(pace.failures() == failures);
            CHECK(pace.wait_ms() == expected);
            clock.advance(expected - 1);
            CHECK_FALSE(pace.due(true));
            clock.advance(1);
            CHECK(pace.due(true));
            expected = expected * 2 > 300'000 ? 300'000 : expected * 2;
        }
        CHECK(expected == 300'000);
        pace.began();
        pace.finished(true);
        CHECK(pace.failures() == 0);
    }

    TEST_CASE("a folder that comes back, or a user who asks, does not wait")
    {
        FakeClock  clock;
        Background pace(clock);
        REQUIRE(pace.due(true));
        pace.began();
        pace.finished(false);
        CHECK_FALSE(pace.due(false)); // pulled out
        CHECK(pace.due(true));        // and put in again
        pace.began();
        pace.finished(true);
        pace.ask();
        CHECK_FALSE(pace.due(false));
        CHECK(pace.due(true));
    }

    TEST_CASE("a clock that started again cannot hold it back for longer than the longest wait")
    {
        FakeClock  clock;
        Background pace(clock);
        clock.advance(100'000'000);
        REQUIRE(pace.due(true));
        pace.began();
        pace.finished(true);
        clock.reboot("b00t0002");
        CHECK(pace.wait_ms() <= Background::kLongestWait);
    }
}
