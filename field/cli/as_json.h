#pragma once
// Readings, limits and people's deeds as JSON with the unit in every key name ("value_mm", "low_mm").
#include "engine/procedure/facts.h"

#include <nlohmann/json_fwd.hpp>

#include <string>
#include <string_view>

namespace field::cli {

/// Ending of a key for the dimension of a unit: "mm", "deg", "c", "nm", "g", "s", "mm_s", "percent", "count".
[[nodiscard]] std::string_view key_unit(engine::UnitOf unit);
/// The SI integer as a number in `key_unit`.
[[nodiscard]] double key_value(std::int64_t si, engine::UnitOf unit);

/// Adds "entered", "value_<unit>", "u_<unit>", "low_<unit>", "high_<unit>", "limit_source", "verdict".
void put_value(nlohmann::json& object, const engine::Entered& value,
               const std::optional<engine::Limits>& limits, std::int64_t u_si, engine::Verdict verdict);
/// Adds "by", "at_ms", "at".
void put_signed(nlohmann::json& object, const engine::Signed& by);

/// "49.972 mm [49.938 .. 50.000, sheet ...] outside" for people.
[[nodiscard]] std::string value_line(const engine::Entered&               value,
                                     const std::optional<engine::Limits>& limits, engine::Verdict verdict);

} // namespace field::cli
