#include "engine/base/clock.h"

#include <array>
#include <chrono>
#include <cstdlib>
#include <ctime>
#include <fstream>

namespace engine {
namespace {

class SystemClock final : public Clock {
  public:
    [[nodiscard]] Instant now() const override
    {
        using namespace std::chrono;
        Instant           at;
        const auto        wall = std::chrono::system_clock::now();
        const std::time_t sec  = std::chrono::system_clock::to_time_t(wall);
        std::tm           local{};
        localtime_r(&sec, &local);
        at.wall_ms = duration_cast<milliseconds>(wall.time_since_epoch()).count();
        at.tz_min  = static_cast<int>(local.tm_gmtoff / 60);
        at.mono_ms = duration_cast<milliseconds>(steady_clock::now().time_since_epoch()).count();
        return at;
    }

    [[nodiscard]] std::string boot_id() const override
    {
        std::ifstream in("/proc/sys/kernel/random/boot_id");
        std::string   id;
        std::getline(in, id);
        return id.substr(0, 8);
    }
};

std::tm broken_down(std::int64_t wall_ms, int tz_min)
{
    std::int64_t seconds = wall_ms / 1000 + std::int64_t{tz_min} * 60;
    if (wall_ms % 1000 < 0) --seconds;
    const std::time_t shifted = seconds;
    std::tm           parts{};
    gmtime_r(&shifted, &parts);
    return parts;
}

std::string two(int n)
{
    return {static_cast<char>('0' + n / 10 % 10), static_cast<char>('0' + n % 10)};
}

std::string date_of(const std::tm& parts)
{
    return std::to_string(parts.tm_year + 1900) + "-" + two(parts.tm_mon + 1) + "-" + two(parts.tm_mday);
}

} // namespace

std::unique_ptr<Clock> system_clock()
{
    return std::make_unique<SystemClock>();
}

std::string hour_minute(std::int64_t wall_ms, int tz_min)
{
    const std::tm parts = broken_down(wall_ms, tz_min);
    return two(parts.tm_hour) + ":" + two(parts.tm_min);
}

std::string day_month(std::int64_t wall_ms, int tz_min)
{
    static constexpr std::array kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const std::tm               parts = broken_down(wall_ms, tz_min);
    return std::to_string(parts.tm_mday) + " " + kMonths.at(static_cast<std::size_t>(parts.tm_mon));
}

std::string date_time(std::int64_t wall_ms, int tz_min)
{
    return date_of(broken_down(wall_ms, tz_min)) + " " + hour_minute(wall_ms, tz_min);
}

std::string iso_time(std::int64_t wall_ms, int tz_min)
{
    const std::tm parts = broken_down(wall_ms, tz_min);
    const int     size  = std::abs(tz_min);
    return date_of(parts) + "T" + hour_minute(wall_ms, tz_min) + ":" + two(parts.tm_sec) +
           (tz_min < 0 ? "-" : "+") + two(size / 60) + ":" + two(size % 60);
}

} // namespace engine
