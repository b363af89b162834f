#include "engine/evidence/population/survival.h"

#include "engine/base/ranges.h"
#include "engine/evidence/population/quiet.h"

#include <boost/math/distributions/chi_squared.hpp>

#include <algorithm>
#include <cmath>
#include <map>

namespace engine {
namespace {

/// Names in the order they first come.
std::vector<std::string> groups_of(std::span<const LifeRecord> records)
{
    std::vector<std::string> names;
    for (const LifeRecord& r : records)
        if (std::ranges::find(names, r.group) == names.end()) names.push_back(r.group);
    return names;
}

struct Tally {
    std::vector<int> failed, gone; ///< at one time, by group
};

/// What happened at each time, and how many there are of each group.
struct Story {
    std::vector<std::string> groups;
    std::vector<int>         bearings;
    std::map<double, Tally>  times;
};

Result<Story> story_of(std::span<const LifeRecord> records, int most_groups)
{
    if (const auto bad = bad_records(records)) return *bad;
    Story story;
    story.groups     = groups_of(records);
    const auto count = story.groups.size();
    if (const auto bad = out_of({1, static_cast<double>(most_groups), "", 0}, static_cast<double>(count),
                                "number of groups"))
        return *bad;
    story.bearings.resize(count);
    std::map<std::string, std::size_t> index;
    for (std::size_t i = 0; i < count; ++i)
        index[story.groups[i]] = i;
    for (const LifeRecord& r : records) {
        const std::size_t group = index.at(r.group);
        Tally&            tally = story.times[r.time.value];
        if (tally.failed.empty()) tally.failed.resize(count), tally.gone.resize(count);
        (r.failed ? tally.failed : tally.gone)[group] += r.count;
        story.bearings[group] += r.count;
    }
    return story;
}

SurvivalCurve curve_of(const Story& story, std::size_t group)
{
    SurvivalCurve curve;
    curve.group    = story.groups[group];
    curve.bearings = story.bearings[group];
    int    at_risk = curve.bearings;
    double s = 1, sum = 0;
    for (const auto& [time, tally] : story.times) {
        const int failed = tally.failed[group];
        if (failed > 0) {
            const double n = at_risk, d = failed;
            s *= 1 - d / n;
            sum += d / (n * (n - d)); // infinite when the last one fails: nothing is left then
            curve.steps.push_back(
                {Hours{time}, at_risk, failed, s, at_risk > failed ? s * std::sqrt(sum) : 0});
            curve.failures += failed;
            if (s <= 0.5 + 1e-12 && !curve.median) curve.median = Hours{time};
        }
        at_risk -= failed + tally.gone[group];
    }
    return curve;
}

using Matrix = std::vector<std::vector<double>>;

/// x' m^-1 x for a symmetric positive m; none when m is singular.
std::optional<double> quadratic(Matrix m, std::vector<double> x)
{
    const std::size_t n   = x.size();
    double            sum = 0;
    for (std::size_t k = 0; k < n; ++k) {
        const double pivot = m[k][k];
        if (!(pivot > 1e-12)) return std::nullopt;
        sum += x[k] * x[k] / pivot;
        for (std::size_t i = k + 1; i < n; ++i) {
            const double share = m[i][k] / pivot;
            x[i] -= share * x[k];
            for (std::size_t j = k; j < n; ++j)
                m[i][j] -= share * m[k][j];
        }
    }
    return sum;
}

struct Counts {
    std::vector<double> observed, expected;
    Matrix              variance;
};

Counts counted(const Story& story)
{
    const std::size_t k = story.groups.size();
    Counts counts{std::vector<double>(k), std::vector<double>(k), Matrix(k, std::vector<double>(k))};
    std::vector<double> n(story.bearings.begin(), story.bearings.end());
    for (const auto& [time, tally] : story.times) {
        double all = 0, d = 0;
        for (std::size_t i = 0; i < k; ++i)
            all += n[i], d += tally.failed[i];
        for (std::size_t i = 0; d > 0 && i < k; ++i) {
            counts.observed[i] += tally.failed[i];
            counts.expected[i] += d * n[i] / all;
            const double spread = all > 1 ? d * (all - d) / (all - 1) : 0;
            for (std::size_t j = 0; j < k; ++j)
                counts.variance[i][j] += spread * n[i] / all * ((i == j ? 1 : 0) - n[j] / all);
        }
        for (std::size_t i = 0; i < k; ++i)
            n[i] -= tally.failed[i] + tally.gone[i];
    }
    return counts;
}

std::string reading_of(const LogRank& test)
{
    if (test.p >= 0.05)
        return "The groups do not differ more than chance allows; that proves nothing where records are few.";
    const auto worst = std::ranges::max_element(
        test.groups, {}, [](const LogRankGroup& g) { return g.expected > 0 ? g.observed / g.expected : 0; });
    return "The groups differ: '" + worst->group + "' failed " + fixed(worst->observed, 0) + " times where " +
           fixed(worst->expected, 1) + " were to be expected.";
}

} // namespace

Result<std::vector<SurvivalCurve>> kaplan_meier(std::span<const LifeRecord> records)
{
    const auto story = story_of(records, 200);
    if (!story) return story.failure();
    std::vector<SurvivalCurve> curves;
    for (std::size_t i = 0; i < story->groups.size(); ++i)
        curves.push_back(curve_of(*story, i));
    return curves;
}

Result<LogRank> log_rank(std::span<const LifeRecord> records)
{
    const auto story = story_of(records, 50);
    if (!story) return story.failure();
    const Counts             counts = counted(*story);
    LogRank                  test;
    std::vector<std::size_t> counting;
    for (std::size_t i = 0; i < story->groups.size(); ++i) {
        test.groups.push_back({story->groups[i], story->bearings[i], counts.observed[i], counts.expected[i]});
        if (counts.expected[i] > 0) counting.push_back(i);
    }
    if (counting.size() < 2)
        return failure(Fault::bad_input,
                       "To compare, two groups must be running when a failure comes; these are not.");
    counting.pop_back(); // the last difference follows from the others
    Matrix              variance;
    std::vector<double> difference;
    for (const std::size_t i : counting) {
        difference.push_back(counts.observed[i] - counts.expected[i]);
        variance.emplace_back();
        for (const std::size_t j : counting)
            variance.back().push_back(counts.variance[i][j]);
    }
    const auto chi_square = quadratic(std::move(variance), std::move(difference));
    if (!chi_square)
        return failure(Fault::bad_input, "The groups never ran side by side long enough to be compared.");
    test.chi_square = *chi_square;
    test.dof        = static_cast<int>(counting.size());
    test.p          = boost::math::cdf(boost::math::complement(
                 boost::math::chi_squared_distribution<double, Quiet>(test.dof), test.chi_square));
    test.reading    = reading_of(test);
    return test;
}

} // namespace engine
