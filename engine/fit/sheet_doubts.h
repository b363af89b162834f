#pragma once
// What is odd about a sheet, told to the planner while it comes in: the turn against the clearances
// (engine/fit/sheet_check.h), the bolt torque against the bolt (engine/mounting/bolting.h). The sheet stays
// the authority: a doubt is told with both numbers and the sheet is taken. Only what cannot be is refused:
//   turn    even with the greatest seating share of published nut angles left out, the least turn takes more
//           clearance than the sheet says there is: more than its most before, by more than the model may be
//           off (k = 2). Published nut angles are up to 1.67 times their own travel [SKF_2018]: 0.4 of a turn
//           may be seating, which takes none
//   torque  the bolt breaks even where nearly all torque goes into friction: torque / (K d) above tensile
//           strength x stress area with K 0.35, the upper end of published factors of steel [ZIPFAST]. A
//           lower K would refuse published torques of dry bolts
// A class or form of the seat that the tables of ISO 286 here do not hold is told: it would not be judged.
// A torque is doubted when an oiled bolt (K 0.15) passes its proof load, with 2 % for rounded tables, and
// when even anti-seize (K 0.12) leaves it below a fifth of it (common practice). K: [METRICTORQ]
// [STRIPMETAL].
#include "engine/catalogue/unit_sheet.h"

#include <string>
#include <vector>

namespace engine {

struct SheetDoubt {
    std::string column;             ///< of the planner's file: "turn_min", "bolt_torque"
    bool        impossible = false; ///< not to be taken
    std::string theirs, ours;       ///< the two numbers: "250.0 N.m", "219.4 N.m at most"; ours may be empty
    std::string wrong;              ///< after the cell's value: "breaks an M16 8.8 bolt ..."
    std::string wanted;             ///< after "give": "the torque of the maker's sheet"
};

[[nodiscard]] std::vector<SheetDoubt> doubts_of(const UnitSheet& sheet);

} // namespace engine
