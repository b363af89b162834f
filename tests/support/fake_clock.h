#pragma once
// Time as a test wants it: stands still until it is told to move.
#include "engine/base/clock.h"

#include <cstdint>
#include <string>
#include <utility>

namespace support {

class FakeClock : public engine::Clock {
  public:
    static constexpr std::int64_t kStart = 1795590000000; ///< 2026-11-25T07:00Z, 08:00 in the shop

    explicit FakeClock(std::int64_t wall_ms = kStart, int tz_min = 60)
    {
        now_.wall_ms = wall_ms;
        now_.tz_min  = tz_min;
        now_.mono_ms = 1000;
    }

    [[nodiscard]] engine::Instant now() const override { return now_; }
    [[nodiscard]] std::string     boot_id() const override { return boot_; }

    /// Time goes by: wall and monotonic together.
    void advance(std::int64_t ms)
    {
        now_.wall_ms += ms;
        now_.mono_ms += ms;
    }
    void advance_minutes(std::int64_t minutes) { advance(minutes * 60'000); }
    /// Somebody sets the clock: wall only, may go back.
    void set_wall(std::int64_t wall_ms) { now_.wall_ms = wall_ms; }
    void set_zone(int tz_min) { now_.tz_min = tz_min; }
    /// The machine was started again.
    void reboot(std::string boot)
    {
        boot_        = std::move(boot);
        now_.mono_ms = 1000;
    }

  private:
    engine::Instant now_;
    std::string     boot_ = "b00t0001";
};

} // namespace support
