#include "engine/evidence/population/ranks.h"

#include "engine/base/ranges.h"
#include "engine/evidence/population/quiet.h"

#include <boost/math/special_functions/beta.hpp>

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

constexpr int kMostPoints = 100'000;

double rank_of(double order, double n, RankRule rule)
{
    if (rule == RankRule::bernard) return (order - 0.3) / (n + 0.4);
    return boost::math::ibeta_inv(order, n - order + 1, 0.5, Quiet());
}

std::vector<LifeRecord> in_order(std::span<const LifeRecord> records)
{
    std::vector<LifeRecord> sorted(records.begin(), records.end());
    std::ranges::stable_sort(sorted, [](const LifeRecord& a, const LifeRecord& b) {
        return a.time != b.time ? a.time < b.time : a.failed && !b.failed;
    });
    return sorted;
}

} // namespace

Result<double> median_rank(double order, int n, RankRule rule)
{
    if (const auto bad = out_of({1, 1e7, "", 0}, n, "number of bearings")) return *bad;
    if (const auto bad = out_of({1, static_cast<double>(n), "", 0}, order, "order of a failure")) return *bad;
    return rank_of(order, n, rule);
}

Result<std::vector<RankPoint>> median_ranks(std::span<const LifeRecord> records, RankRule rule)
{
    if (const auto bad = bad_records(records)) return *bad;
    double all = 0, failures = 0;
    for (const LifeRecord& r : records)
        all += r.count, failures += r.failed ? r.count : 0;
    if (failures < 1) return failure(Fault::bad_input, "There is no failure among the records.");
    if (const auto bad = out_of({1, kMostPoints, "", 0}, failures, "number of failures")) return *bad;
    std::vector<RankPoint> points;
    double                 before = 0, left = all;
    for (const LifeRecord& r : in_order(records)) {
        for (int i = 0; r.failed && i < r.count; ++i) {
            before += (all + 1 - before) / (1 + left - i);
            points.push_back({r.time, before, rank_of(before, all, rule)});
        }
        left -= r.count;
    }
    return points;
}

Result<RankLine> rank_regression(std::span<const LifeRecord> records, RankAxis axis, RankRule rule)
{
    const auto points = median_ranks(records, rule);
    if (!points) return points.failure();
    const auto n  = static_cast<double>(points->size());
    double     mx = 0, my = 0;
    const auto x_of = [](const RankPoint& p) { return std::log(p.time.value); };
    const auto y_of = [](const RankPoint& p) { return std::log(-std::log1p(-p.rank)); };
    for (const RankPoint& p : *points)
        mx += x_of(p) / n, my += y_of(p) / n;
    double xx = 0, xy = 0, yy = 0;
    for (const RankPoint& p : *points) {
        const double x = x_of(p) - mx, y = y_of(p) - my;
        xx += x * x, xy += x * y, yy += y * y;
    }
    if (!(xx > 1e-18) || !(xy > 0))
        return failure(Fault::bad_input, "A Weibull line wants at least two failures at different times.");
    RankLine line;
    line.shape     = axis == RankAxis::y_on_x ? xy / xx : yy / xy;
    line.scale     = Hours{std::exp(mx - my / line.shape)};
    line.r_squared = xy * xy / (xx * yy);
    return line;
}

} // namespace engine
