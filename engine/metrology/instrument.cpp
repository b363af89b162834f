#include "engine/metrology/instrument.h"

#include "engine/base/ranges.h"

#include <algorithm>
#include <cmath>

namespace engine {

Result<Micrometres> micrometer_error_limit(Millimetres size)
{
    if (const auto bad = out_of({0, 500, "mm", 0}, size.value, "size to measure")) return *bad;
    constexpr double kSpan  = 25; // every outside micrometer covers 25 mm
    const double     bottom = std::min(std::floor(size.value / kSpan) * kSpan, 500 - kSpan);
    return Micrometres{4 + std::floor(bottom / 50)};
}

double standard_of_half_width(double half_width)
{
    return std::abs(half_width) / std::sqrt(3.0);
}

double standard_of_step(double step)
{
    return std::abs(step) / std::sqrt(12.0);
}

} // namespace engine
