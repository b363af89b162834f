#pragma once
// What an instrument may be wrong by when its certificate says no more.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

namespace engine {

/// Error limit of an outside micrometer that reads `size`: 4 um + 1 um for every whole 50 mm of the lower end
/// of its 25 mm range. A size on the border of two ranges counts to the larger one.
/// Range 0..500 mm. Source: DIN 863-1, closed form of the table [SCRIBD-DIN863].
[[nodiscard]] Result<Micrometres> micrometer_error_limit(Millimetres size);

/// Rectangular distribution: half-width to standard uncertainty (GUM 4.3.7).
[[nodiscard]] double standard_of_half_width(double half_width);
/// A display's last digit: one step to standard uncertainty (GUM F.2.2.1).
[[nodiscard]] double standard_of_step(double step);

} // namespace engine
