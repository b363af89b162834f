#pragma once
// Limits of size by ISO 286: grades IT1..IT18 and shaft classes up to 500 mm.
// Sources: IT grades [NSK_E1102]; h: 0/-IT; js: +-IT/2, an odd IT of grades 7..11 first lowered by 1 um
// [DERIVED]; d e f g k m n p r s: fundamental deviations [MEM-ISO286-1], which are from memory and say so in
// `source` (they agree with the formulas of ISO 286-1 within their rounding).
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <string>
#include <string_view>

namespace engine {

struct ClassLimits {
    Millimetres lower, upper; ///< deviations from the nominal size, lower <= upper
    Millimetres tolerance;    ///< upper - lower
    std::string iso_class;    ///< as understood, "h9"
    std::string source;       ///< for people: "ISO 286, h9: table [NSK_E1102]"
};

/// Width of the grade for a nominal size over 0 up to and including 500 mm; grade 1..18, 1..13 up to and
/// including 1 mm: the coarser ones do not exist there [NSK_E1102].
/// Fails: Fault::out_of_range.
[[nodiscard]] Result<Micrometres> it_grade(Millimetres nominal, int grade);

/// Shaft class such as "h9", "js7", "k6". h and js grades 1..18; d 5..13, e 5..10, f g 3..10, k 3..13, m
/// n 3..9, p r s 3..10: what ISO 286-2 tabulates (from memory). Fails: Fault::bad_input for a class it does
/// not keep (hole classes in capitals among them), Fault::out_of_range for the size.
[[nodiscard]] Result<ClassLimits> limits_of(Millimetres nominal, std::string_view iso_class);

struct FormLimit {
    Micrometres limit;  ///< width of the cylindricity zone, that is on the radius
    std::string text;   ///< "IT5/2"
    std::string source; ///< for people
};

/// "IT5", "IT5/2": grade 1..18, whole or halved. Fails: Fault::bad_input, Fault::out_of_range.
[[nodiscard]] Result<FormLimit> form_limit(Millimetres nominal, std::string_view text);

} // namespace engine
