#pragma once
// The shift as the supervisor wants it: which jobs were touched in a stretch of time, what is wrong with them
// first.
#include "engine/procedure/workbench.h"

#include <limits>
#include <vector>

namespace engine {

/// What is worth a look. The order is the order of weight: worst first.
enum class Finding {
    held,          ///< a step waits for another person's decision
    broken_entry,  ///< an entry that cannot be read or had no right to be there
    outside,       ///< a reading or a figure beyond its limit
    undecided,     ///< the uncertainty crosses the limit
    deviation,     ///< closed in spite of its verdict, by decision
    skipped,       ///< left out, by decision
    back_off,      ///< the nut was loosened and the position went back to zero
    photo_missing, ///< an entry names a photo this machine does not hold
    problem,       ///< the fitter reported a problem
    corrected      ///< a reading was corrected
};
[[nodiscard]] std::string_view name_of(Finding finding); ///< "held", "back_off", ...

struct Exception {
    Finding                finding = Finding::held;
    StepRef                at;
    std::string            what;           ///< ask and slot, figure key, reason key: "seat/I.across"
    std::optional<Entered> value;          ///< the reading, as entered
    bool                   figure = false; ///< `value` was worked out of readings
    std::optional<Limits>  limits;
    std::int64_t           u_si    = 0;
    Verdict                verdict = Verdict::inside;
    Signed                 by;       ///< who and when
    std::string            sentence; ///< in plain words
    std::string            photo;    ///< hash of the newest photo of the step, or empty
};

struct ShiftJob {
    Job                             job;
    std::vector<std::string>        people; ///< badges
    std::size_t                     done = 0, steps = 0;
    bool                            closed       = false;
    std::int64_t                    last_wall_ms = 0;
    int                             tz_min       = 0;
    std::optional<Progress::Review> review;
    std::optional<Progress::Ended>  ended;
    std::vector<Exception>          exceptions; ///< worst first
    bool needs_decision = false; ///< a held step, or a finished record nobody has countersigned
};

struct TimeWindow {
    std::int64_t from_ms = 0; ///< wall clock, inclusive
    std::int64_t to_ms   = std::numeric_limits<std::int64_t>::max();
};

/// Jobs with a deed of a person (anything after `job.open`) inside the window: those with a held step, then
/// those that wait for a countersignature, then the others, those countersigned last; within each the worst
/// exceptions first, clean ones newest first. A job whose plan cannot be built is named in `complaints`.
[[nodiscard]] std::vector<ShiftJob> shift_of(const Workbench& bench, TimeWindow window,
                                             std::vector<std::string>* complaints = nullptr);

/// Exceptions of one job, worst first.
[[nodiscard]] std::vector<Exception> exceptions_of(const Workbench& bench, const JobState& state);

} // namespace engine
