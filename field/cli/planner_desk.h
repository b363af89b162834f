#pragma once
// Who may bring in the planner's files, and the planner's own signature on what is in them.
#include "engine/book/book.h"

#include <string>
#include <vector>

namespace field::cli {

struct PlannerWish {
    std::string what;     ///< "units"
    std::string actor;    ///< badge; may be empty where nobody is known yet
    std::string pin_file; ///< empty: the PIN is asked for, where one is needed
};

/// In an enrolled plant: a planner's machine and a planner's badge. In another: a planner's badge, once the
/// book knows one. Faults: bad_input (no badge, an unknown one), refused.
[[nodiscard]] engine::Status may_plan(const engine::Book& book, const PlannerWish& wish);
/// The drafts as they may be appended: signed by the planner where the plant asks for it. Faults: refused (a
/// known badge would get another role from nobody who may give it, PIN), not_found (no key of that planner
/// here).
[[nodiscard]] engine::Result<std::vector<engine::Draft>>
as_planned(engine::Book& book, std::vector<engine::Draft> drafts, const PlannerWish& wish);

} // namespace field::cli
