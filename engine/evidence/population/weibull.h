#pragma once
// Weibull life of a population, failures and suspensions together. R(t) = exp(-(t/scale)^shape).
//   maximum likelihood: sum t^b ln t / sum t^b - 1/b = mean of ln t of the failures;
//   scale = (sum t^b / failures)^(1/b)                                                     [NIST-APR413]
//   bounds: by the profile of the likelihood, allowed to fall a little further where failures are few
//   (weibull_bounds.h); standard errors from the observed information
//   B10 = scale (-ln 0.9)^(1/shape)
// Meaning of the shape [PTC-MR]: below 1 early failures, 1 chance, 1 to 4 wear, above 4 sudden wear-out. The
// words say it only where the bounds prove it.
#include "engine/evidence/population/records.h"

namespace engine {

struct WeibullFit {
    double      shape = 0, shape_low = 0, shape_high = 0;
    Hours       scale, scale_low, scale_high; ///< 63.2 % have failed
    Hours       b10, b10_low, b10_high;       ///< 10 % have failed
    Hours       mean, deviation;              ///< of the fitted life
    double      log_likelihood = 0;           ///< natural logarithm, times in hours
    double      shape_se       = 0;
    Hours       scale_se;
    double      covariance  = 0; ///< of shape and scale, hours
    int         failures    = 0;
    int         suspensions = 0;
    std::string reading; ///< what it means, in plain words
};

/// Wants two failures at different times. Confidence of the two-sided bounds 0.5..0.999.
/// Fails: Fault::bad_input (no records, too few failures), Fault::out_of_range (also for a shape beyond
/// 0.02..100: such data do not follow a Weibull life).
[[nodiscard]] Result<WeibullFit> fit_weibull(std::span<const LifeRecord> records, double confidence = 0.95);

/// Share still running at a time, 0..1. Refuses times, shapes and scales that cannot be.
[[nodiscard]] Result<double> weibull_reliability(double shape, Hours scale, Hours time);
/// Time at which `failed_share` (above 0, below 1) have failed: B10 with 0.1. The inverse of the above.
[[nodiscard]] Result<Hours> weibull_quantile(double shape, Hours scale, double failed_share);

} // namespace engine
