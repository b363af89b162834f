#pragma once
// When the next exchange is due: FORMAT.md section 8. Pure: knows time only by its Clock, the folder only by
// what it is told.
#include "engine/base/clock.h"

#include <cstdint>

namespace share {

class Background {
  public:
    static constexpr std::int64_t kPause       = 30'000; ///< ms between two good passes
    static constexpr std::int64_t kFirstDelay  = 100;    ///< ms after a failure, doubled each time
    static constexpr std::int64_t kLongestWait = 300'000;

    explicit Background(const engine::Clock& clock) : clock_(&clock) {}

    /// Whether to begin a pass now. `folder_there`: the share can be seen at this moment.
    [[nodiscard]] bool due(bool folder_there);
    /// To be told of each pass, in this order.
    void began();
    void finished(bool good);
    /// The user asks for it: due at once when the folder is there.
    void ask() { asked_ = true; }

    [[nodiscard]] bool running() const { return running_; }
    [[nodiscard]] int  failures() const { return failures_; } ///< in a row
    /// Milliseconds until the next try, 0 when it is due.
    [[nodiscard]] std::int64_t wait_ms() const;

  private:
    const engine::Clock* clock_;
    bool                 there_ = false, running_ = false, asked_ = false;
    int                  failures_ = 0;
    std::int64_t         next_at_  = 0; ///< monotonic
};

} // namespace share
