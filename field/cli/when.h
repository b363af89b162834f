#pragma once
// Moments on the command line: "2026-11-25", "2026-11-25T06:00", "2026-11-25T06:00:30+01:00", "...Z".
#include "engine/base/result.h"

#include <cstdint>
#include <string_view>

namespace field::cli {

/// Milliseconds since 1970-01-01T00:00Z. Without a zone the moment is in the zone `tz_min` (local minus UTC).
/// Fault::bad_input for anything else, a 30th of February included.
[[nodiscard]] engine::Result<std::int64_t> parse_when(std::string_view text, int tz_min);

} // namespace field::cli
