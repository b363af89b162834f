#include "engine/base/ranges.h"

#include <algorithm>
#include <charconv>

namespace engine {
namespace {

/// The number a reader of the text sees.
double as_read(const std::string& text)
{
    double value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

/// Zeros the limit does not need: down to its usual decimals.
std::string without_idle_zeros(std::string text, int decimals)
{
    const std::size_t point = text.find('.');
    if (point == std::string::npos) return text;
    const std::size_t least = point + 1 + static_cast<std::size_t>(std::max(decimals, 0));
    while (text.size() > least && text.back() == '0')
        text.pop_back();
    if (text.back() == '.') text.pop_back();
    return text;
}

} // namespace

ShownOutside shown_outside(double value, double limit, int limit_decimals, int value_decimals)
{
    constexpr int kMost = 30;
    for (int decimals = std::min(value_decimals, limit_decimals); decimals < kMost; ++decimals) {
        ShownOutside shown{fixed(value, std::max(decimals, value_decimals)),
                           fixed(limit, std::max(decimals, limit_decimals))};
        const double is = as_read(shown.value), must = as_read(shown.limit);
        if ((value < limit && is < must) || (value > limit && is > must)) {
            shown.limit = without_idle_zeros(std::move(shown.limit), limit_decimals);
            return shown;
        }
    }
    return {fixed(value, value_decimals), fixed(limit, limit_decimals)};
}

} // namespace engine
