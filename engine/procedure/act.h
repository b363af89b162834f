#pragma once
// What a person can do to a job. Screens, `fill` and tests all act through these and nothing else.
#include "engine/procedure/progress.h"

#include <variant>

namespace engine {

struct TakeReading {
    StepRef                     at;
    std::string                 ask, slot;
    Entered                     value;
    std::string                 tool;    ///< instrument tag, or empty where the ask needs none
    std::optional<std::int64_t> part_mc; ///< part temperature
    std::string                 via = "typed";
};
struct Choose {
    StepRef     at;
    std::string ask, option;
};
struct GiveCode {
    StepRef     at;
    std::string ask, text;
    std::string via = "typed";
};
struct KeepPhoto {
    StepRef                    at;
    std::string                ask;
    std::vector<unsigned char> jpeg;   ///< as taken
    std::string                source; ///< "camera", "folder", "test"
};
struct CloseStep {
    StepRef at;
};
struct BackOff { ///< nut loosened: the position goes back to zero
    std::string pos, reason;
};
struct ReportProblem { ///< asks for a decision: to go on in spite of the verdict, or to skip the step
    StepRef     at;
    std::string reason;
    bool        skip = false;
};
struct Decide { ///< by another person, who may: supervisor
    StepRef     at;
    bool        accept = false;
    std::string reason, pin;
};
struct Correct {
    std::string entry_id; ///< the reading it corrects
    Entered     value;
    std::string reason;
};
struct HandOver {
    std::string to_badge;
};
struct Countersign {
    std::string pin;
};
struct SendBack {
    std::string reason, pin;
};
/// The job is not gone on with: by a planner or a supervisor.
struct EndJob {
    std::string reason;
};

using Act = std::variant<TakeReading, Choose, GiveCode, KeepPhoto, CloseStep, BackOff, ReportProblem, Decide,
                         Correct, HandOver, Countersign, SendBack, EndJob>;

/// The rules of the procedure (DEVELOPERS.md lists them with their tests). Good, or Fault::refused with one
/// sentence that names step and rule: "Bolt down at B is refused: the nut at B is not locked yet (bolts stay
/// loose until the nut is locked)." Fault::out_of_range for values that cannot be (10x, 25.4x, outside the
/// instrument), Fault::not_found for unknown names.
[[nodiscard]] Status allowed(const Plan& plan, const Catalogue& catalogue, const Progress& progress,
                             const std::string& actor, const Act& act, const std::string& today_iso_date);

} // namespace engine
