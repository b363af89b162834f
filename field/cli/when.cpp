#include "field/cli/when.h"

#include <charconv>
#include <chrono>
#include <optional>
#include <string>

namespace field::cli {
namespace {

/// `digits` digits at the front of `text`, taken off it.
std::optional<int> take(std::string_view& text, std::size_t digits)
{
    if (text.size() < digits) return std::nullopt;
    int        value  = 0;
    const auto part   = text.substr(0, digits);
    const auto parsed = std::from_chars(part.data(), part.data() + part.size(), value);
    if (parsed.ec != std::errc{} || parsed.ptr != part.data() + part.size() || part.front() == '-')
        return std::nullopt;
    text.remove_prefix(digits);
    return value;
}

bool skip(std::string_view& text, char mark)
{
    if (text.empty() || text.front() != mark) return false;
    text.remove_prefix(1);
    return true;
}

std::optional<std::int64_t> date_ms(std::string_view& text)
{
    const auto year = take(text, 4);
    if (!year || !skip(text, '-')) return std::nullopt;
    const auto month = take(text, 2);
    if (!month || !skip(text, '-')) return std::nullopt;
    const auto day = take(text, 2);
    if (!day) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year{*year},
                                           std::chrono::month{static_cast<unsigned>(*month)},
                                           std::chrono::day{static_cast<unsigned>(*day)}};
    if (!date.ok()) return std::nullopt;
    return std::chrono::sys_days{date}.time_since_epoch().count() * std::int64_t{86'400'000};
}

/// Minutes east of UTC: "Z", "+01:00", or nothing at all.
std::optional<int> zone_of(std::string_view& text, int otherwise)
{
    if (text.empty()) return otherwise;
    if (skip(text, 'Z')) return 0;
    const int sign = text.front() == '-' ? -1 : 1;
    if (!skip(text, '+') && !skip(text, '-')) return std::nullopt;
    const auto hours = take(text, 2);
    if (!hours || !skip(text, ':')) return std::nullopt;
    const auto minutes = take(text, 2);
    if (!minutes || *hours > 14 || *minutes > 59) return std::nullopt;
    return sign * (*hours * 60 + *minutes);
}

std::optional<std::int64_t> moment_ms(std::string_view text, int tz_min)
{
    const auto date = date_ms(text);
    if (!date) return std::nullopt;
    if (text.empty()) return *date - std::int64_t{tz_min} * 60'000;
    if (!skip(text, 'T') && !skip(text, ' ')) return std::nullopt;
    const auto hour = take(text, 2);
    if (!hour || !skip(text, ':')) return std::nullopt;
    const auto         minute = take(text, 2);
    std::optional<int> second = 0;
    if (skip(text, ':')) second = take(text, 2);
    if (!minute || !second || *hour > 23 || *minute > 59 || *second > 59) return std::nullopt;
    const auto zone = zone_of(text, tz_min);
    if (!zone || !text.empty()) return std::nullopt;
    const std::int64_t seconds = std::int64_t{*hour} * 3600 + std::int64_t{*minute} * 60 + *second;
    return *date + seconds * 1000 - std::int64_t{*zone} * 60'000;
}

} // namespace

engine::Result<std::int64_t> parse_when(std::string_view text, int tz_min)
{
    const auto moment = moment_ms(text, tz_min);
    if (!moment)
        return engine::failure(engine::Fault::bad_input,
                               "'" + std::string(text.substr(0, 40)) +
                                   "' is not a moment; write 2026-11-25 or 2026-11-25T06:00.");
    return *moment;
}

} // namespace field::cli
