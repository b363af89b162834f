#pragma once
// Weibull by the straight line through median ranks, as on probability paper.
//   median rank of the i-th of n: exact Beta^-1(0.5; i, n - i + 1), or Bernard (i - 0.3)/(n + 0.4), at most
//   0.0013 off                                                                    [PTC-MR] [RELIAWIKI-RRY]
//   after suspensions the order goes up by (n + 1 - order before)/(1 + items left)  [HOTWIRE-MON]
//   line: ln(-ln(1 - rank)) over ln t. The answer depends on which axis carries the error: say which.
#include "engine/evidence/population/records.h"

namespace engine {

enum class RankRule { exact, bernard };
/// y_on_x: the ranks carry the error. x_on_y: the times do, as is usual for lives.
enum class RankAxis { y_on_x, x_on_y };

/// Order 1..n, need not be whole; n 1..10 000 000. Fails: Fault::out_of_range.
[[nodiscard]] Result<double> median_rank(double order, int n, RankRule rule);

struct RankPoint {
    Hours  time;
    double order = 0;
    double rank  = 0; ///< share failed, 0..1
};
/// One point a failure, equal times in the order given; suspensions at the time of a failure come after it.
/// Fails: Fault::bad_input, Fault::out_of_range; more than 100 000 failures are refused.
[[nodiscard]] Result<std::vector<RankPoint>> median_ranks(std::span<const LifeRecord> records, RankRule rule);

struct RankLine {
    double shape = 0;
    Hours  scale;
    double r_squared = 0; ///< 1: the points lie on the line
};
/// Wants two failures at different times. Fails: as median_ranks.
[[nodiscard]] Result<RankLine> rank_regression(std::span<const LifeRecord> records, RankAxis axis,
                                               RankRule rule);

} // namespace engine
