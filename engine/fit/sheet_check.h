#pragma once
// Does the maker's sheet agree with itself and with mechanics? The turn it asks for takes a clearance by the
// thick-ring model (engine/fit/drawup.h); its clearances before and after want another. The two are compared
// with what each may be wrong by. The sheet stays the authority: this only says that somebody should ask.
//   turn takes  = clearance of the middle of the turn; U (k = 2) from the width of the turn (rectangular),
//                 the ring model (model_share of drawup.h) and zero (kZeroError of estimate.h)
//   limits want = middle of before less middle of after; U (k = 2) from both widths (rectangular, GUM 4.3.7)
//   before not on the sheet: the table of its clearance group, tapered bore; after not on the sheet: limits
//   want the reduction the makers advise for the bore, U from its width
//   apart       = |turn takes - limits want| / sqrt(sum of U squared); above 1 they disagree (the E_n
//                 number of ISO 13528, from memory)
// A common reason (not a fault): a turn counted from hand tight holds seating, which takes no clearance
// [SKF_2018: nut angles of roller bearings exceed their own travel].
#include "engine/catalogue/unit_sheet.h"
#include "engine/fit/drawup.h"

#include <optional>
#include <string>

namespace engine {

struct SheetClaims {
    Taper                       unit;
    Degrees                     turn_min, turn_max; ///< 0..1440, min <= max
    std::string                 group;              ///< "CN", "C3", ...; empty: not told
    std::optional<LengthLimits> before, after;      ///< clearance, 0..2 mm, low <= high
    std::string                 name;               ///< for the sentence: "PB-50 rev 3"
};

/// The unit of a sheet as the draw-up wants it: on a sleeve of 1:12 or 1:30 with the published factor, else
/// with the give of the slit sleeve.
[[nodiscard]] Taper taper_of(const UnitSheet& sheet);

[[nodiscard]] SheetClaims claims_of(const UnitSheet& sheet);

enum class SheetAnswer { agrees, disagrees, cannot_say };
[[nodiscard]] std::string_view name_of(SheetAnswer answer); ///< "agrees", "disagrees", "cannot say"

struct SheetCheck {
    SheetAnswer answer = SheetAnswer::cannot_say;
    Millimetres turn_takes, u_turn_takes;   ///< U with k = 2
    Millimetres limits_want, u_limits_want; ///< U with k = 2; both 0 when it cannot be said
    double      apart = 0;                  ///< above 1: more than their uncertainty
    bool        heavy = false;              ///< the turn makes more than 0.0007 of the bore [NSK_E1102] 9.1.2
    std::string wanted_from;                ///< "the sheet", "[SKF_2018]", ...
    std::string sentence;                   ///< for people, always filled
};

/// Fails: Fault::out_of_range or bad_input when the sheet's own quantities cannot be.
[[nodiscard]] Result<SheetCheck> check_sheet(const SheetClaims& claims);

} // namespace engine
