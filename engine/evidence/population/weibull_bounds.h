#pragma once
// Bounds of a Weibull life by its likelihood: what shape, scale or B10 could be without the records becoming
// too unlikely. A value is inside while twice the fall of the likelihood, the other parameter being free to
// follow, stays under the quantile of chi-square with one degree of freedom, made larger by 1 + 2.2/failures:
// a first correction for few failures, set by simulation (tests/bench/truth_weibull.cpp). Few failures bend
// the likelihood, so that bounds from its curvature alone hold the truth too seldom. Private to this room.
#include "engine/evidence/population/records.h"

#include <optional>

namespace engine {

struct LifeBounds {
    double low = 0, high = 0;
};

class LifeLikelihood {
  public:
    LifeLikelihood(std::span<const LifeRecord> records, double shape, double scale_h, double confidence);

    [[nodiscard]] std::optional<LifeBounds> of_shape() const;
    /// Of the time at which `failed_share` have failed: 1 - 1/e is the scale, 0.1 is B10. None when the
    /// records leave an end open.
    [[nodiscard]] std::optional<LifeBounds> of_quantile(double failed_share) const;

  private:
    /// Greatest logarithm of the likelihood at this shape, or at this quantile; times over the scale found.
    [[nodiscard]] double at_shape(double shape) const;
    [[nodiscard]] double at_quantile(double log_time, double hazard) const;
    [[nodiscard]] double whole(double shape, double log_time, double hazard) const;

    std::span<const LifeRecord> records_;
    double                      shape_ = 1, scale_ = 1;
    double                      failures_ = 0, sum_log_ = 0; ///< of ln (t / scale) of the failures
    double                      allowed_ = 0;                ///< fall of the logarithm
    double                      best_    = 0;
};

} // namespace engine
