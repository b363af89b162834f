#pragma once
// The small spellings of planners' files: codes, dates, classes, bolts. Inside the room only.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <string_view>

namespace engine::import_text {

/// Up to 24 letters, digits, `-`, `.`, `_`, beginning with a letter or digit: badges, tags, codes, numbers.
[[nodiscard]] bool is_code(std::string_view text);
/// 1 to 80 characters, none of them a control character.
[[nodiscard]] bool is_title(std::string_view text);
/// A real day of the calendar spelt as ISO 8601 does, "2027-03-31".
[[nodiscard]] bool is_date(std::string_view text);
/// Shaft tolerance class of ISO 286-1: fundamental deviation in small letters and grade 1 to 18, "h9", "js7".
[[nodiscard]] bool is_shaft_class(std::string_view text);
/// A form limit as part of a grade, "IT5/2" or "IT6".
[[nodiscard]] bool is_form_limit(std::string_view text);
/// Radial clearance group of ISO 5753-1 with the trade's C before it: C2, CN, C3, C4, C5.
[[nodiscard]] bool is_clearance_group(std::string_view text);
/// "M16", "M16x1.5" (5 to 64 mm).
[[nodiscard]] bool is_metric_bolt(std::string_view text);
/// "5/8-11", "1-1/8-7": diameter in inches, threads per inch.
[[nodiscard]] bool is_inch_bolt(std::string_view text);
/// Property classes of ISO 898-1 for bolts, "8.8".
[[nodiscard]] bool is_metric_bolt_class(std::string_view text);
/// SAE J429 grades 2, 5 and 8, "grade5".
[[nodiscard]] bool is_inch_bolt_class(std::string_view text);
/// 4 to 12 digits.
[[nodiscard]] bool is_pin(std::string_view text);
/// "A" to "Z".
[[nodiscard]] bool is_letter(std::string_view text);

/// "1:12" -> 12.
[[nodiscard]] Result<double> parse_taper(std::string_view text);
/// "15K", "-8K".
[[nodiscard]] Result<Kelvins> parse_rise(std::string_view text);
/// "11.5ppm/K": parts in a million for a kelvin.
[[nodiscard]] Result<PerKelvin> parse_alpha(std::string_view text);
/// "980rpm".
[[nodiscard]] Result<RevPerMinute> parse_speed(std::string_view text);
/// "4.5mm/s".
[[nodiscard]] Result<MmPerSecond> parse_velocity(std::string_view text);

} // namespace engine::import_text
