#pragma once
// Share still running over time, group by group, and whether groups differ.
//   Kaplan-Meier: S = product of (1 - d/n) over the times with failures; Greenwood standard error
//   S sqrt(sum d/(n (n - d)))                                                     [INTROBIOSTAT-11.1]
//   log-rank: observed minus expected failures, hypergeometric variance, chi-square of groups - 1. (The
//   shorter sum of (O - E)^2/E is another statistic and is not used.)
// A bearing suspended at the time of a failure counts as running at that time.
#include "engine/evidence/population/records.h"

namespace engine {

struct SurvivalStep {
    Hours  time;
    int    at_risk = 0, failures = 0;
    double s  = 1; ///< share running just after
    double se = 0; ///< Greenwood; 0 when none is left
};

struct SurvivalCurve {
    std::string               group;
    int                       bearings = 0, failures = 0;
    std::vector<SurvivalStep> steps;  ///< one a time with failures; none when nothing failed
    std::optional<Hours>      median; ///< first time with half or less running; none while more run
};

/// Groups in the order they first come. At most 200 groups. Fails: Fault::bad_input, Fault::out_of_range.
[[nodiscard]] Result<std::vector<SurvivalCurve>> kaplan_meier(std::span<const LifeRecord> records);

struct LogRankGroup {
    std::string group;
    int         bearings = 0;
    double      observed = 0, expected = 0;
};

struct LogRank {
    double                    chi_square = 0;
    int                       dof        = 0;
    double                    p          = 1; ///< chance of a difference as large without a cause
    std::vector<LogRankGroup> groups;
    std::string               reading;
};

/// Wants two groups or more, at most 50, at risk when failures come. A group that left before the first
/// failure does not count. Fails: Fault::bad_input, Fault::out_of_range.
[[nodiscard]] Result<LogRank> log_rank(std::span<const LifeRecord> records);

} // namespace engine
