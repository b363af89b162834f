#pragma once
// The seam to time. Nothing in the house reads a clock in any other way, so tests own time.
#include <cstdint>
#include <memory>
#include <string>

namespace engine {

/// A moment as this machine sees it.
struct Instant {
    std::int64_t wall_ms = 0; ///< milliseconds since 1970-01-01T00:00Z by the machine's clock (may be wrong)
    int          tz_min  = 0; ///< local time minus UTC, minutes
    std::int64_t mono_ms = 0; ///< milliseconds since some fixed moment of this boot; never goes back
};

class Clock {
  public:
    virtual ~Clock()                                  = default;
    [[nodiscard]] virtual Instant     now() const     = 0;
    [[nodiscard]] virtual std::string boot_id() const = 0; ///< changes with every start of the machine
};

[[nodiscard]] std::unique_ptr<Clock> system_clock();

/// "10:42" and "25 Nov" and "2026-11-25 10:42" in the zone of the instant.
[[nodiscard]] std::string hour_minute(std::int64_t wall_ms, int tz_min);
[[nodiscard]] std::string day_month(std::int64_t wall_ms, int tz_min);
[[nodiscard]] std::string date_time(std::int64_t wall_ms, int tz_min);
/// ISO 8601 with offset, "2026-11-25T10:42:07+01:00".
[[nodiscard]] std::string iso_time(std::int64_t wall_ms, int tz_min);

} // namespace engine
