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

/// None when low <= value <= high; NaN is never inside.
/// "The bore is 0.000 mm; it must lie between 10 and 1000 mm."
[[nodiscard]] inline std::optional<Failure> out_of(const Range& range, double value, std::string_view what)
{
    if (value >= range.low && value <= range.high) return std::nullopt;
    const std::string unit = range.unit.empty() ? "" : " " + std::string(range.unit);
    const std::string is   = std::isfinite(value) && std::abs(value) < 1e9
                                 ? fixed(value, 3) + unit
                                 : std::string("not a number that can be used");
    return failure(Fault::out_of_range, "The " + std::string(what) + " is " + is + "; it must lie between " +
                                            fixed(range.low, range.decimals) + " and " +
                                            fixed(range.high, range.decimals) + unit + ".");
}

} // namespace engine
