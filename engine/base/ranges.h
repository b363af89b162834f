#pragma once
// The one way to say that a number cannot be: name, value and the range it must lie in.
#include "engine/base/numbers.h"

#include <cmath>
#include <optional>
#include <string>
#include <string_view>

namespace engine {

struct Range {
    double           low = 0, high = 0; ///< both allowed
    std::string_view unit;              ///< as printed, "mm"; may be empty
    int              decimals = 0;      ///< of the printed limits
};

/// A value beside the limit it breaks, both with so many digits that the one is seen to be outside the other:
/// "0.01999" beside "0.02", never "0.020".
struct ShownOutside {
    std::string value, limit;
};
/// A value that is not outside, on whichever side, is shown with its usual decimals.
[[nodiscard]] ShownOutside shown_outside(double value, double limit, int limit_decimals,
                                         int value_decimals = 3);

/// None when low <= value <= high; NaN is never inside.
/// "The bore is 0.000 mm; it must lie between 10 and 1000 mm."
[[nodiscard]] inline std::optional<Failure> out_of(const Range& range, double value, std::string_view what)
{
    if (value >= range.low && value <= range.high) return std::nullopt;
    const std::string unit = range.unit.empty() ? "" : " " + std::string(range.unit);
    std::string       is   = "not a number that can be used";
    std::string       low = fixed(range.low, range.decimals), high = fixed(range.high, range.decimals);
    if (std::isfinite(value) && std::abs(value) < 1e9) {
        const bool         below = value < range.low;
        const ShownOutside shown = shown_outside(value, below ? range.low : range.high, range.decimals);
        is                       = shown.value + unit;
        (below ? low : high)     = shown.limit;
    }
    return failure(Fault::out_of_range, "The " + std::string(what) + " is " + is + "; it must lie between " +
                                            low + " and " + high + unit + ".");
}

} // namespace engine
