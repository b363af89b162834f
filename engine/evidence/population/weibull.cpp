#include "engine/evidence/population/weibull.h"

#include "engine/base/ranges.h"
#include "engine/evidence/population/quiet.h"
#include "engine/evidence/population/weibull_bounds.h"

#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/tools/roots.hpp>

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr Range kShape{0.02, 100, "", 2};
constexpr Range kScale{1e-6, 1e12, "h", 6};
constexpr int   kFew = 6; // failures; below it the bounds themselves are rough (common practice)

/// Sums over the records with every time over the longest one, so that no power overflows.
struct Sums {
    double all = 0, log_all = 0, log2_all = 0; ///< of z^b, z^b ln z, z^b (ln z)^2
};

class Likelihood {
  public:
    explicit Likelihood(std::span<const LifeRecord> records) : records_(records)
    {
        for (const LifeRecord& r : records)
            longest_ = std::max(longest_, r.time.value);
        for (const LifeRecord& r : records) {
            (r.failed ? failures_ : suspensions_) += r.count;
            if (r.failed) mean_log_ += r.count * std::log(r.time.value / longest_);
        }
        mean_log_ /= std::max(failures_, 1);
    }

    [[nodiscard]] int    failures() const { return failures_; }
    [[nodiscard]] int    suspensions() const { return suspensions_; }
    [[nodiscard]] double longest() const { return longest_; }
    [[nodiscard]] double mean_log() const { return mean_log_; }

    [[nodiscard]] Sums sums(double b) const
    {
        Sums sums;
        for (const LifeRecord& r : records_) {
            const double log = std::log(r.time.value / longest_), power = r.count * std::exp(b * log);
            sums.all += power, sums.log_all += power * log, sums.log2_all += power * log * log;
        }
        return sums;
    }

    /// Rises with b; its root is the shape.
    [[nodiscard]] double score(double b) const
    {
        const Sums s = sums(b);
        return s.log_all / s.all - 1 / b - mean_log_;
    }

  private:
    std::span<const LifeRecord> records_;
    double                      longest_ = 0, mean_log_ = 0;
    int                         failures_ = 0, suspensions_ = 0;
};

bool fails_at_two_times(std::span<const LifeRecord> records)
{
    const auto first = std::ranges::find_if(records, &LifeRecord::failed);
    return first != records.end() && std::ranges::any_of(records, [&](const LifeRecord& r) {
               return r.failed && r.time != first->time;
           });
}

/// Shape from the score; none where it has no root in range.
std::optional<double> shape_of(const Likelihood& likelihood)
{
    if (!(likelihood.score(kShape.low) < 0) || !(likelihood.score(kShape.high) > 0)) return std::nullopt;
    std::uintmax_t most  = 200;
    const auto     found = boost::math::tools::toms748_solve(
        [&](double b) { return likelihood.score(b); }, kShape.low, kShape.high,
        boost::math::tools::eps_tolerance<double>(50), most, Quiet());
    return (found.first + found.second) / 2;
}

/// Standard errors from the observed information in shape and scale.
/// False when the information is no information.
bool give_errors(const Likelihood& likelihood, WeibullFit& fit)
{
    const double b = fit.shape, eta = fit.scale.value, r = fit.failures;
    const Sums   s = likelihood.sums(b);
    // Sums of (t/eta)^b times powers of ln(t/eta); the plain sum is r at the maximum.
    const double shift = std::log(likelihood.longest() / eta), to_eta = r / s.all;
    const double logs  = to_eta * (s.log_all + shift * s.all);
    const double log2s = to_eta * (s.log2_all + 2 * shift * s.log_all + shift * shift * s.all);
    const double bb = r / (b * b) + log2s, ee = b * b * r / (eta * eta), be = -b / eta * logs;
    const double whole = bb * ee - be * be;
    if (!(whole > 0)) return false;
    const double var_b = ee / whole, var_eta = bb / whole;
    fit.covariance = -be / whole;
    fit.shape_se   = std::sqrt(var_b);
    fit.scale_se   = Hours{std::sqrt(var_eta)};
    return std::isfinite(fit.shape_se) && std::isfinite(fit.scale_se.value);
}

/// Bounds by the likelihood itself; false when the records leave an end open.
bool give_bounds(const LifeLikelihood& likelihood, WeibullFit& fit)
{
    const auto shape = likelihood.of_shape();
    const auto scale = likelihood.of_quantile(1 - std::exp(-1.0));
    const auto b10   = likelihood.of_quantile(0.1);
    if (!shape || !scale || !b10) return false;
    fit.shape_low = shape->low, fit.shape_high = shape->high;
    fit.scale_low = Hours{scale->low}, fit.scale_high = Hours{scale->high};
    fit.b10_low = Hours{b10->low}, fit.b10_high = Hours{b10->high};
    return std::isfinite(shape->high) && std::isfinite(scale->high) && std::isfinite(b10->high);
}

std::string reading_of(const WeibullFit& fit)
{
    std::string reading;
    if (fit.shape_high < 1)
        reading = "Shape below 1: early failures. Look at installation first, then at parts and storage.";
    else if (fit.shape_low <= 1)
        reading =
            "The shape cannot be told from 1: neither early failures nor wear-out is proven; gather more "
            "records.";
    else if (fit.shape_low <= 4)
        reading = "Shape above 1: wear. Bearings fail by fatigue or wear as they age.";
    else
        reading =
            "Shape above 4: they wear out within a short time of each other; look for one common cause.";
    if (fit.failures < kFew)
        reading += " Only " + std::to_string(fit.failures) + " failures: the bounds are rough.";
    return reading;
}

std::optional<Failure> bad_life(double shape, Hours scale)
{
    if (auto bad = out_of(kShape, shape, "shape")) return bad;
    return out_of(kScale, scale.value, "scale");
}

} // namespace

Result<WeibullFit> fit_weibull(std::span<const LifeRecord> records, double confidence)
{
    if (const auto bad = bad_records(records)) return *bad;
    if (const auto bad = out_of({0.5, 0.999, "", 3}, confidence, "confidence")) return *bad;
    if (!fails_at_two_times(records))
        return failure(Fault::bad_input, "A Weibull life wants at least two failures at different times.");
    const Likelihood likelihood(records);
    const auto       shape = shape_of(likelihood);
    if (!shape)
        return failure(Fault::out_of_range,
                       "These times do not follow a Weibull life: the shape lies beyond " +
                           fixed(kShape.low, 2) + " to " + fixed(kShape.high, 0) + ".");
    WeibullFit fit;
    fit.failures    = likelihood.failures();
    fit.suspensions = likelihood.suspensions();
    fit.shape       = *shape;
    const double r = fit.failures, b = *shape;
    const double log_scale = std::log(likelihood.longest()) + std::log(likelihood.sums(b).all / r) / b;
    fit.scale              = Hours{std::exp(log_scale)};
    if (const auto bad = out_of(kScale, fit.scale.value, "scale found")) return *bad;
    const double sum_log = r * (likelihood.mean_log() + std::log(likelihood.longest()));
    fit.log_likelihood   = r * (std::log(b) - b * log_scale) + (b - 1) * sum_log - r;
    fit.b10              = Hours{fit.scale.value * std::pow(-std::log(0.9), 1 / b)};
    const double first   = std::exp(boost::math::lgamma(1 + 1 / b, Quiet())),
                 second  = boost::math::lgamma(1 + 2 / b, Quiet());
    fit.mean             = Hours{fit.scale.value * first};
    fit.deviation = Hours{fit.scale.value * std::sqrt(std::max(0.0, std::exp(second) - first * first))};
    if (!give_errors(likelihood, fit) ||
        !give_bounds(LifeLikelihood(records, fit.shape, fit.scale.value, confidence), fit))
        return failure(Fault::out_of_range, "The records are too few or too odd to give bounds.");
    fit.reading = reading_of(fit);
    return fit;
}

Result<double> weibull_reliability(double shape, Hours scale, Hours time)
{
    if (const auto bad = bad_life(shape, scale)) return *bad;
    if (const auto bad = out_of({0, 1e12, "h", 0}, time.value, "time")) return *bad;
    return std::exp(-std::pow(time / scale, shape));
}

Result<Hours> weibull_quantile(double shape, Hours scale, double failed_share)
{
    if (const auto bad = bad_life(shape, scale)) return *bad;
    if (const auto bad = out_of({1e-9, 1 - 1e-9, "", 0}, failed_share, "share that has failed")) return *bad;
    return scale * std::pow(-std::log1p(-failed_share), 1 / shape);
}

} // namespace engine
