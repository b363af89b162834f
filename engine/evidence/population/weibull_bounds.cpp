#include "engine/evidence/population/weibull_bounds.h"

#include "engine/evidence/population/quiet.h"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/tools/roots.hpp>

#include <cmath>
#include <cstdint>

namespace engine {
namespace {

constexpr double kFewFailures = 2.2; // of the header
constexpr double kFarShape    = 8;   // most that ln shape goes from the best
constexpr double kNearShape   = 4;
constexpr double kFarTime     = 60;

/// Where `rises` (below 0 at `from`, above at `to`) meets zero.
template <class Of> double met(Of rises, double from, double to)
{
    std::uintmax_t most = 100;
    if (!(rises(from) < 0)) return from;
    if (!(rises(to) > 0)) return to;
    const auto found = boost::math::tools::toms748_solve(
        rises, from, to, boost::math::tools::eps_tolerance<double>(46), most, Quiet());
    return (found.first + found.second) / 2;
}

/// Both places where `fallen` passes `allowed`, going away from 0; none when one end stays open.
template <class Of> std::optional<LifeBounds> both(Of fallen, double allowed, double farthest)
{
    LifeBounds bounds;
    for (const int side : {-1, 1}) {
        double step = 0.05;
        while (step < farthest && !(fallen(side * step) > allowed))
            step *= 1.5;
        if (!(fallen(side * step) > allowed)) return std::nullopt;
        const double end = met([&](double away) { return fallen(side * away) - allowed; }, 0, step);
        (side < 0 ? bounds.low : bounds.high) = side * end;
    }
    return bounds;
}

} // namespace

LifeLikelihood::LifeLikelihood(std::span<const LifeRecord> records, double shape, double scale_h,
                               double confidence)
    : records_(records), shape_(shape), scale_(scale_h)
{
    for (const LifeRecord& r : records_) {
        if (!r.failed) continue;
        failures_ += r.count;
        sum_log_ += r.count * std::log(r.time.value / scale_);
    }
    const double z =
        boost::math::quantile(boost::math::normal_distribution<double, Quiet>(), (1 + confidence) / 2);
    allowed_ = z * z / 2 * (1 + kFewFailures / failures_);
    best_    = whole(shape_, 0, 1);
}

double LifeLikelihood::whole(double shape, double log_time, double hazard) const
{
    double sum = 0;
    for (const LifeRecord& r : records_)
        sum += r.count * std::exp(shape * (std::log(r.time.value / scale_) - log_time));
    return failures_ * (std::log(shape * hazard) - shape * log_time) + (shape - 1) * sum_log_ - hazard * sum;
}

double LifeLikelihood::at_shape(double shape) const
{
    double sum = 0; // the best scale at this shape: (sum / failures)^(1/shape)
    for (const LifeRecord& r : records_)
        sum += r.count * std::exp(shape * std::log(r.time.value / scale_));
    return whole(shape, std::log(sum / failures_) / shape, 1);
}

double LifeLikelihood::at_quantile(double log_time, double hazard) const
{
    // The slope in the shape falls all the way: halving in ln shape.
    const auto falls = [&](double log_shape) {
        const double shape = std::exp(log_shape);
        double       sum   = 0;
        for (const LifeRecord& r : records_) {
            const double log = std::log(r.time.value / scale_) - log_time;
            sum += r.count * std::exp(shape * log) * log;
        }
        return -(failures_ / shape - failures_ * log_time + sum_log_ - hazard * sum);
    };
    const double middle = std::log(shape_);
    return whole(std::exp(met(falls, middle - kNearShape, middle + kNearShape)), log_time, hazard);
}

std::optional<LifeBounds> LifeLikelihood::of_shape() const
{
    const auto found =
        both([&](double away) { return best_ - at_shape(shape_ * std::exp(away)); }, allowed_, kFarShape);
    if (!found) return std::nullopt;
    return LifeBounds{shape_ * std::exp(found->low), shape_ * std::exp(found->high)};
}

std::optional<LifeBounds> LifeLikelihood::of_quantile(double failed_share) const
{
    const double hazard = -std::log1p(-failed_share);
    const double middle = std::log(hazard) / shape_;
    const auto found = both([&](double away) { return best_ - at_quantile(middle + away, hazard); }, allowed_,
                            kFarTime / shape_);
    if (!found) return std::nullopt;
    return LifeBounds{scale_ * std::exp(middle + found->low), scale_ * std::exp(middle + found->high)};
}

} // namespace engine
