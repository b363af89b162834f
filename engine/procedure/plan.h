#pragma once
// The plan of one job: the steps that apply, for which position, in one valid order, each with what it waits
// for.
#include "engine/book/entry.h"
#include "engine/catalogue/catalogue.h"
#include "engine/procedure/step.h"

#include <compare>
#include <map>
#include <optional>

namespace engine {

struct StepRef {
    std::string key;
    std::string pos; ///< position letter; empty for a step of the whole job
    friend auto operator<=>(const StepRef&, const StepRef&) = default;
};

struct PlanStep {
    StepRef              ref;
    Step                 step;  ///< asks already narrowed to those whose conditions hold, slots expanded
    std::vector<StepRef> needs; ///< all in this plan
};

struct Plan {
    Job                              job;
    Arrangement                      arrangement = Arrangement::single;
    std::string                      procedure_version;
    std::map<std::string, UnitSheet> units;    ///< by position letter
    std::vector<std::string> tightening_order; ///< letters: fixed before expansion, else along the shaft
    std::vector<PlanStep>    steps;

    [[nodiscard]] const PlanStep*  find(const StepRef& ref) const;
    [[nodiscard]] const Position*  position(const std::string& letter) const;
    [[nodiscard]] const UnitSheet* unit(const std::string& letter) const;
};

/// Conditions usable in `when` (conditions.cpp): "old_bearing_out", "pair" (two or more positions), "single",
/// "fixed", "expansion", "pillow_block", "flange", "split", "first" / "later" (place in the tightening
/// order), "shimmed" (flange unit that is not first), "bolted_hard" (flange unit that is first),
/// "asks.<reading>" (the sheet asks for it), and "not." + any.
[[nodiscard]] bool is_condition(const std::string& name);

/// `sheets_of`: the moment whose sheets count; absent: the newest. Refuses what `arrangement_of` refuses,
/// with the same sentence.
[[nodiscard]] Result<Plan> build_plan(const Job& job, const Catalogue& catalogue, const Procedure& procedure,
                                      const std::optional<Moment>& sheets_of = {});

/// When the job's papers were settled (its step `papers` done): from then on its sheets are those of that
/// moment, whatever is revised later. Absent before that.
[[nodiscard]] std::optional<Moment> papers_settled(const std::vector<Entry>& entries);

} // namespace engine
