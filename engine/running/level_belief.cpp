#include "engine/running/level_belief.h"

#include "engine/running/small_solve.h"

#include <algorithm>
#include <cmath>

namespace engine {
namespace {

// Common practice, but for the range of the time constants (header).
constexpr std::size_t kMostBins = 160;
constexpr std::size_t kGrid     = 16;
constexpr double      kTauLeast = 3, kTauMost = 360; // min
constexpr double      kLevelPrior = 100;             // K about the mean of the readings
constexpr double      kPartPrior  = 30;              // K
constexpr double      kExpected   = 3;               // readings the expected scatter counts as
constexpr double      kEdge       = 0.025;
constexpr double      kHour       = 60;  // min
constexpr double      kApart      = 1.7; // times, between two parts
constexpr double      kNoneLikely = 0.3, kOneLikely = 0.35;
constexpr double      kAgainst  = 0.1;  // as likely as alike: one part rising, one falling, and no peak seen
constexpr double      kNoWeight = 1e-4; // of the heaviest: what a finer grid leaves out
constexpr int         kFiner    = 3;    // grids, each about what the last one left
constexpr double      kTwoSided = 1.959964;

/// Readings put together to at most kMostBins: middle time, mean, how many, and the squares inside.
struct Binned {
    std::vector<double>              t, value, count, air;
    std::vector<std::vector<double>> times; ///< of the readings in each, from the first of all
    double                           inside = 0, readings = 0, last = 0, against = 1;
};

/// The air at a time, straight between its readings.
double air_at(const std::vector<CurvePoint>& air, double t)
{
    if (air.empty()) return 0;
    const auto after = std::ranges::lower_bound(air, t, {}, &CurvePoint::t);
    if (after == air.begin()) return air.front().value;
    if (after == air.end()) return air.back().value;
    const auto before = after - 1;
    return before->value + (after->value - before->value) * (t - before->t) / (after->t - before->t);
}

Binned binned(const LevelSeries& series)
{
    Binned            bins;
    const std::size_t each  = (series.points.size() + kMostBins - 1) / kMostBins;
    const double      final = series.air.empty() ? 0 : series.air.back().value;
    bins.readings           = static_cast<double>(series.points.size());
    bins.against            = series.from_peak ? 1 : kAgainst;
    bins.last               = series.points.back().t - series.points.front().t;
    for (std::size_t i = 0; i < series.points.size(); i += each) {
        const std::size_t end = std::min(series.points.size(), i + each);
        const auto        n   = static_cast<double>(end - i);
        double            t = 0, value = 0;
        auto&             times = bins.times.emplace_back();
        for (std::size_t k = i; k < end; ++k) {
            t += series.points[k].t / n, value += series.points[k].value / n;
            times.push_back(series.points[k].t - series.points.front().t);
        }
        for (std::size_t k = i; k < end; ++k)
            bins.inside += (series.points[k].value - value) * (series.points[k].value - value);
        bins.t.push_back(t), bins.value.push_back(value), bins.count.push_back(n);
        bins.air.push_back(air_at(series.air, t) - final);
    }
    return bins;
}

/// What the air's changes do behind a part of the time constant tau; the start is taken as settled.
std::vector<double> late(const Binned& bins, double tau)
{
    std::vector<double> behind{bins.air.front()};
    for (std::size_t i = 1; i < bins.t.size(); ++i) {
        const double step = bins.t[i] - bins.t[i - 1], keeps = std::exp(-step / tau);
        const double rate = (bins.air[i] - bins.air[i - 1]) / step;
        behind.push_back(behind.back() * keeps + bins.air[i] - bins.air[i - 1] * keeps -
                         rate * tau * (1 - keeps));
    }
    return behind;
}

double product_of(const Binned& bins, const std::vector<double>& a, const std::vector<double>& b)
{
    double sum = 0;
    for (std::size_t i = 0; i < a.size(); ++i)
        sum += bins.count[i] * a[i] * b[i];
    return sum;
}

/// One time constant: its wave, and the readings less what the air does behind it.
struct Wave {
    double              tau = 0, last = 0;
    std::vector<double> wave, target;
    double              sum = 0, square = 0, along = 0; ///< of the wave: with 1, itself, its own target
    double              whole = 0, target_sum = 0, held_back = 0; ///< of the target; what the air still does
};

Wave wave_of(const Binned& bins, double middle, double tau)
{
    Wave made;
    made.tau = tau, made.last = std::exp(-bins.last / tau);
    for (const auto& times : bins.times) {
        double mean = 0;
        for (const double t : times)
            mean += std::exp(-t / tau) / static_cast<double>(times.size());
        made.wave.push_back(mean);
    }
    const auto behind = late(bins, tau);
    made.held_back    = behind.back();
    for (std::size_t i = 0; i < bins.value.size(); ++i)
        made.target.push_back(bins.value[i] - middle - behind[i]);
    const std::vector<double> ones(bins.value.size(), 1);
    made.sum        = product_of(bins, made.wave, ones);
    made.square     = product_of(bins, made.wave, made.wave);
    made.along      = product_of(bins, made.wave, made.target);
    made.whole      = product_of(bins, made.target, made.target);
    made.target_sum = product_of(bins, made.target, ones);
    return made;
}

/// Places on the log scale of the time constants, each for a share of the whole.
struct Places {
    double low = 0, high = 0;

    [[nodiscard]] double width() const { return (high - low) / static_cast<double>(kGrid); }
    [[nodiscard]] double at(std::size_t k) const { return low + (static_cast<double>(k) + 0.5) * width(); }
    [[nodiscard]] double share() const { return width() / std::log(kTauMost / kTauLeast); }
};

struct Grid {
    Places single, fast, slow;
};

/// Parts of a guess: none, one or two, their products and how likely they were beforehand.
struct Parts {
    std::array<const Wave*, 2> at{};
    std::size_t                count = 0, fast = 0, slow = 0; ///< places on the grid
    double                     cross = 0, fast_along = 0, prior = 0;
};

/// Everything tried on one grid.
struct Tries {
    std::vector<Wave>  single, fast, slow;
    std::vector<Parts> parts;
};

Tries tries_on(const Binned& bins, double middle, const Grid& grid)
{
    Tries tries;
    for (std::size_t k = 0; k < kGrid; ++k) {
        tries.single.push_back(wave_of(bins, middle, std::exp(grid.single.at(k))));
        tries.fast.push_back(wave_of(bins, middle, std::exp(grid.fast.at(k))));
        tries.slow.push_back(wave_of(bins, middle, std::exp(grid.slow.at(k))));
    }
    tries.parts.push_back({{&tries.single[0], nullptr}, 0, 0, 0, 0, 0, std::log(kNoneLikely)});
    for (std::size_t k = 0; k < kGrid; ++k)
        tries.parts.push_back(
            {{&tries.single[k], nullptr}, 1, k, 0, 0, 0, std::log(kOneLikely * grid.single.share())});
    const double two = std::log(2 * kOneLikely * grid.fast.share() * grid.slow.share());
    for (std::size_t a = 0; a < kGrid; ++a)
        for (std::size_t b = 0; b < kGrid; ++b) {
            const Wave &fast = tries.fast[a], &slow = tries.slow[b];
            if (slow.tau < kApart * fast.tau) continue;
            tries.parts.push_back({{&slow, &fast},
                                   2,
                                   a,
                                   b,
                                   product_of(bins, fast.wave, slow.wave),
                                   product_of(bins, fast.wave, slow.target),
                                   two});
        }
    return tries;
}

/// What one try says of the level, of what is still to come and of the slope.
struct Guess {
    double rest = 0, weight = 0;
    double level = 0, level_u = 0, still = 0, still_u = 0, slope = 0, slope_u = 0;
};

/// Size of the vector L^-1 of a functional: its standard uncertainty.
double spread_of(const SmallMatrix<3>& l, const SmallVector<3>& of, std::size_t n)
{
    double     square = 0;
    const auto solved = solve_lower(l, of, n);
    for (std::size_t i = 0; i < n; ++i)
        square += solved[i] * solved[i];
    return std::sqrt(square);
}

Guess guessed(const Parts& parts, const Binned& bins, double middle, double variance)
{
    const double      readings = bins.readings, against = bins.against;
    const std::size_t n      = parts.count + 1;
    const Wave&       target = *parts.at[0]; // the slower one stands first
    SmallMatrix<3>    m{};
    SmallVector<3> right{target.target_sum / variance, target.along / variance, parts.fast_along / variance};
    SmallVector<3> still{}, slope{};
    double         log_prior = -std::log(kLevelPrior);
    m[0][0]                  = readings / variance + 1 / (kLevelPrior * kLevelPrior);
    m[2][1]                  = parts.cross / variance;
    for (std::size_t i = 1; i < n; ++i) {
        const Wave& wave = *parts.at[i - 1];
        m[i][0]          = wave.sum / variance;
        m[i][i]          = wave.square / variance + 1 / (kPartPrior * kPartPrior);
        still[i]         = -wave.last;
        slope[i]         = -wave.last / wave.tau * kHour;
        log_prior -= std::log(kPartPrior);
    }
    Guess      guess;
    const auto l = lower_factor(m, n);
    if (!l) {
        guess.weight = -1e300;
        return guess;
    }
    const auto half = solve_lower(*l, right, n);
    const auto best = solve_upper(*l, half, n);
    double     gain = 0, log_root = 0, explained = 0;
    for (std::size_t i = 0; i < n; ++i) {
        gain += half[i] * half[i] / 2;
        log_root += std::log((*l)[i][i]);
        guess.still += still[i] * best[i], guess.slope += slope[i] * best[i];
        double row = 0;
        for (std::size_t j = 0; j < n; ++j)
            row += (j <= i ? m[i][j] : m[j][i]) * best[j];
        explained += best[i] * (2 * right[i] - row);
    }
    guess.rest  = target.whole - explained * variance;
    guess.level = best[0] + middle;
    guess.still -= target.held_back;
    guess.level_u = spread_of(*l, {1, 0, 0}, n);
    guess.still_u = spread_of(*l, still, n);
    guess.slope_u = spread_of(*l, slope, n);
    guess.weight  = parts.prior + log_prior - log_root + gain - target.whole / (2 * variance);
    if (n == 3 && best[1] * best[2] < 0) guess.weight += std::log(against);
    return guess;
}

/// Where the mixture has `share` below it.
template <class Below> double quantile_of(Below below, double share, double low, double high)
{
    for (int i = 0; i < 60; ++i) {
        const double middle                  = (low + high) / 2;
        (below(middle) < share ? low : high) = middle;
    }
    return (low + high) / 2;
}

double below_normal(double x, double mean, double u)
{
    return 0.5 * std::erfc(-(x - mean) / (std::max(u, 1e-9) * std::sqrt(2.0)));
}

LevelBelief mixed(const std::vector<Guess>& guesses, double wider)
{
    LevelBelief belief;
    double      level_low = 1e9, level_high = -1e9, most = 0, steepest = 0;
    for (const Guess& g : guesses) {
        if (g.weight < 1e-9) continue;
        level_low  = std::min(level_low, g.level - 6 * wider * g.level_u);
        level_high = std::max(level_high, g.level + 6 * wider * g.level_u);
        most       = std::max(most, std::abs(g.still) + 6 * wider * g.still_u);
        steepest   = std::max(steepest, std::abs(g.slope) + 6 * wider * g.slope_u);
        belief.slope += g.weight * g.slope;
    }
    const auto level = [&](double x) {
        double sum = 0;
        for (const Guess& g : guesses)
            if (g.weight >= 1e-9) sum += g.weight * below_normal(x, g.level, wider * g.level_u);
        return sum;
    };
    const auto inside = [&](double x, double Guess::*mean, double Guess::*u) {
        double sum = 0;
        for (const Guess& g : guesses)
            if (g.weight >= 1e-9)
                sum += g.weight *
                       (below_normal(x, g.*mean, wider * g.*u) - below_normal(-x, g.*mean, wider * g.*u));
        return sum;
    };
    belief.found      = true;
    belief.level      = quantile_of(level, 0.5, level_low, level_high);
    belief.low        = quantile_of(level, kEdge, level_low, level_high);
    belief.high       = quantile_of(level, 1 - kEdge, level_low, level_high);
    belief.still_high = quantile_of([&](double x) { return inside(x, &Guess::still, &Guess::still_u); },
                                    1 - 2 * kEdge, 0, most);
    belief.slope_high = quantile_of([&](double x) { return inside(x, &Guess::slope, &Guess::slope_u); },
                                    1 - 2 * kEdge, 0, steepest);
    return belief;
}

/// All the tries weighed, to a sum of 1; `variance` comes as expected and goes as found.
std::vector<Guess> weighed(const Tries& tries, const Binned& bins, double middle, double& variance)
{
    const double       expected = kExpected * variance;
    const double       freedom  = kExpected + std::max(1.0, bins.readings - 3);
    std::vector<Guess> guesses;
    for (int round = 0; round < 3; ++round) {
        if (round > 0) {
            double least = 1e300;
            for (const Guess& g : guesses)
                if (g.weight > -1e299) least = std::min(least, std::max(g.rest, 0.0));
            variance = (expected + bins.inside + least) / freedom;
        }
        guesses.clear();
        for (const Parts& parts : tries.parts)
            guesses.push_back(guessed(parts, bins, middle, variance));
    }
    double heaviest = -1e300, whole = 0;
    for (const Guess& g : guesses)
        heaviest = std::max(heaviest, g.weight);
    for (Guess& g : guesses)
        whole += g.weight = std::exp(g.weight - heaviest);
    for (Guess& g : guesses)
        g.weight /= whole;
    return guesses;
}

/// The part of the places that still has weight, one place more on either side.
Places closer(const Places& places, const std::vector<double>& weights)
{
    const double heaviest = *std::ranges::max_element(weights);
    std::size_t  first = kGrid, last = 0;
    for (std::size_t k = 0; k < kGrid; ++k)
        if (weights[k] > kNoWeight * heaviest) first = std::min(first, k), last = k;
    if (first > last) return places;
    const double width = places.width();
    return {std::max(places.low, places.at(first) - 1.5 * width),
            std::min(places.high, places.at(last) + 1.5 * width)};
}

Grid finer(const Grid& grid, const Tries& tries, const std::vector<Guess>& guesses)
{
    std::vector<double> single(kGrid, 0.0), fast(kGrid, 0.0), slow(kGrid, 0.0);
    for (std::size_t i = 0; i < guesses.size(); ++i) {
        const Parts& parts = tries.parts[i];
        if (parts.count == 1) single[parts.fast] += guesses[i].weight;
        if (parts.count == 2) fast[parts.fast] += guesses[i].weight, slow[parts.slow] += guesses[i].weight;
    }
    return {closer(grid.single, single), closer(grid.fast, fast), closer(grid.slow, slow)};
}

} // namespace

LevelBelief level_belief(const LevelSeries& series)
{
    LevelBelief belief;
    if (series.points.size() < 3) return belief;
    const Binned bins   = binned(series);
    double       middle = 0;
    for (std::size_t i = 0; i < bins.t.size(); ++i)
        middle += bins.count[i] * bins.value[i] / bins.readings;
    const Places       all{std::log(kTauLeast), std::log(kTauMost)};
    Grid               grid{all, all, all};
    std::vector<Guess> guesses;
    double             variance = 0;
    for (int round = 0; round < kFiner; ++round) {
        const Tries tries = tries_on(bins, middle, grid);
        variance          = series.scatter * series.scatter;
        guesses           = weighed(tries, bins, middle, variance);
        grid              = finer(grid, tries, guesses);
    }
    // Student's t beside the normal: the first term of its series.
    const double freedom = kExpected + std::max(1.0, bins.readings - 3);
    belief               = mixed(guesses, 1 + (1 + kTwoSided * kTwoSided) / (4 * freedom));
    belief.scatter       = std::sqrt(variance);
    return belief;
}

} // namespace engine
