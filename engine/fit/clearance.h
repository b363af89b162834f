#pragma once
// Radial internal clearance of spherical roller bearings by bore: what they are delivered with and what must
// be left after mounting. Bores over 18 (clearance) or 24 (residual) up to and including 500 mm.
#include "engine/base/quantity.h"
#include "engine/base/result.h"

#include <string>
#include <string_view>

namespace engine {

enum class BoreForm { cylindrical, tapered };

struct ClearanceRange {
    Micrometres low, high;
    std::string source;
};

/// As delivered. Group "C2", "CN", "C3", "C4" or "C5" ("Normal" is taken for "CN"). The value of [SKF_2018]
/// is taken where it lists the bore, else that of [NKE_2018], [KRW_2006], [TIMKEN_EM] in this order.
/// Fails: Fault::bad_input for the group, Fault::not_found for a bore outside the tables.
[[nodiscard]] Result<ClearanceRange> clearance_group(Millimetres bore, BoreForm form, std::string_view group);

/// Reduction of the clearance the makers advise when drawing up: from the least to the greatest any of their
/// tables gives for the bore, all makers named. Bore over 24 up to and including 500 mm.
/// Fails: Fault::out_of_range, Fault::not_found.
[[nodiscard]] Result<ClearanceRange> advised_reduction(Millimetres bore);

struct ResidualMinimum {
    Micrometres clearance; ///< must be left after mounting
    std::string source;
};

/// Least clearance after mounting on a taper; group CN, C3 or C4. The makers' tables differ: the largest of
/// their minima is given, and its source named. Fails like clearance_group.
[[nodiscard]] Result<ResidualMinimum> residual_minimum(Millimetres bore, std::string_view group);

} // namespace engine
