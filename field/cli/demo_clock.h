#pragma once
// A clock that runs in the past, for the history of a demo book.
#include "engine/base/clock.h"

namespace field::cli {

class DemoClock : public engine::Clock {
  public:
    explicit DemoClock(engine::Instant start) : now_(start) {}

    [[nodiscard]] engine::Instant now() const override { return now_; }
    [[nodiscard]] std::string     boot_id() const override { return "demo0001"; }

    void advance_minutes(std::int64_t minutes) { advance_ms(minutes * 60'000); }
    void advance_ms(std::int64_t ms)
    {
        now_.wall_ms += ms;
        now_.mono_ms += ms;
    }
    /// Goes on to a later moment; an earlier one is left alone.
    void advance_to(std::int64_t wall_ms)
    {
        if (wall_ms > now_.wall_ms) advance_ms(wall_ms - now_.wall_ms);
    }

  private:
    engine::Instant now_;
};

} // namespace field::cli
