#include "sync/background.h"

#include <algorithm>
#include <utility>

namespace share {

bool Background::due(bool folder_there)
{
    const bool was_there = std::exchange(there_, folder_there);
    const bool came_back = folder_there && !was_there;
    if (came_back) { // a stick put in again should not wait for an old failure
        failures_ = 0;
        next_at_  = clock_->now().mono_ms;
    }
    return folder_there && !running_ && (asked_ || wait_ms() == 0);
}

void Background::began()
{
    running_ = true;
    asked_   = false;
}

void Background::finished(bool good)
{
    running_           = false;
    failures_          = good ? 0 : failures_ + 1;
    std::int64_t delay = kPause;
    if (!good) {
        delay = kFirstDelay;
        for (int i = 1; i < failures_ && delay < kLongestWait; ++i)
            delay *= 2;
    }
    next_at_ = clock_->now().mono_ms + std::min(delay, kLongestWait);
}

std::int64_t Background::wait_ms() const
{
    // A new boot starts the monotonic clock again: never wait longer than the longest wait.
    const std::int64_t wait = next_at_ - clock_->now().mono_ms;
    return std::clamp<std::int64_t>(wait, 0, kLongestWait);
}

} // namespace share
