// The run-in judged on logs whose truth is known: a bearing and its housing as two lumps of heat, integrated
// in short steps (no exponential anywhere), with a thermometer that is off and scatters.
#include "engine/running/run_in.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include "tests/bench/truth.h"

namespace truth {
namespace {

using Dice = std::mt19937_64;

double between(Dice& dice, double low, double high)
{
    return low + (high - low) * std::uniform_real_distribution<double>(0, 1)(dice);
}

enum class RunKind { one_body, two_bodies, runaway, over_limit, air_or_hump };

/// Heat in K per minute on the bearing; times in minutes.
struct Machine {
    double air = 20, air_drift = 0, air_step = 0, air_step_at = 1e9; // C, K/min, K, min
    double heat = 1, hump = 0, hump_left = 30;                       // share more at the start, gone after
    double to_housing    = 0,
           housing_share = 1;    // exchange 1/min; heat capacity of the housing over the bearing's
    double to_air        = 0.03; // of the outer body, 1/min
    double feeds         = 0;    // heat more per kelvin over `feeds_over`
    double feeds_over    = 1e9;
};

struct Bodies {
    double bearing = 20, housing = 20, grease = 1;
};

double air_of(const Machine& m, double t)
{
    return m.air + m.air_drift * t + (t >= m.air_step_at ? m.air_step : 0);
}

void step(const Machine& m, Bodies& b, double air, double dt)
{
    const double fed  = b.bearing > m.feeds_over ? m.feeds * (b.bearing - m.feeds_over) : 0;
    const double heat = m.heat * (1 + m.hump * b.grease) + fed;
    b.grease -= b.grease / m.hump_left * dt;
    if (m.to_housing == 0) {
        b.bearing += (heat - m.to_air * (b.bearing - air)) * dt;
        return;
    }
    const double across = m.to_housing * (b.bearing - b.housing);
    b.bearing += (heat - across) * dt;
    b.housing += (across - m.to_air * (b.housing - air)) / m.housing_share * dt;
}

Machine machine_of(RunKind kind, Dice& dice)
{
    Machine m;
    m.air            = between(dice, 12, 28);
    const double tau = between(dice, 10, 60);
    m.to_air         = 1 / tau;
    double rise      = between(dice, 12, 36);
    if (kind == RunKind::over_limit) rise = between(dice, 64, 90) - m.air + 20;
    m.heat = rise / tau;
    if (kind == RunKind::two_bodies || (kind == RunKind::air_or_hump && between(dice, 0, 1) < 0.5)) {
        // Both in series: the bearing over the housing by `apart`, the housing over the air by `slow`.
        const double slow     = kind == RunKind::two_bodies ? between(dice, 5, 30) : between(dice, 5, 15);
        const double apart    = between(dice, 10, 22);
        const double fast_tau = between(dice, 6, 20), slow_tau = between(dice, 60, 240);
        m.heat          = apart / fast_tau;
        m.to_housing    = 1 / fast_tau;
        m.to_air        = m.heat / slow;
        m.housing_share = slow_tau * m.to_air;
    }
    if (kind == RunKind::air_or_hump) {
        const double which = between(dice, 0, 3);
        if (which < 1)
            m.air_drift = between(dice, -4, 4) / 240;
        else if (which < 2)
            m.air_step = between(dice, -6, 6), m.air_step_at = between(dice, 20, 200);
        else
            m.hump = between(dice, 0.2, 0.8), m.hump_left = between(dice, 10, 40);
    }
    if (kind == RunKind::runaway) {
        m.feeds_over = m.air + rise * between(dice, 0.4, 0.9);
        m.feeds      = m.to_air + 1 / between(dice, 8, 50);
    }
    return m;
}

struct Log {
    std::vector<engine::RunInPoint> points;
    std::vector<double>             bearing; ///< true, beside each reading
    double level = 0, rise = 0, still = 0;   ///< true, with the air as it is at the last reading
};

constexpr double kStep = 0.02; // min

/// `fixed_noise` below 0: drawn.
Log log_of(RunKind kind, Dice& dice, double fixed_noise = -1)
{
    const Machine                    m = machine_of(kind, dice);
    Bodies                           b{m.air, m.air, 1};
    Log                              log;
    std::normal_distribution<double> one;
    // The thermometers are known to 1 K (k = 2); one reading scatters by up to 0.75 K.
    const double off = 0.5 * one(dice), air_off = 0.5 * one(dice);
    const double drawn  = std::exp(between(dice, std::log(0.1), std::log(0.75)));
    const double noise  = fixed_noise < 0 ? drawn : fixed_noise;
    const double every  = std::array{1.0, 2.0, 5.0}.at(static_cast<std::size_t>(between(dice, 0, 3)));
    const double length = between(dice, 120, 360);
    double       air    = m.air;
    int          steps  = 0;
    for (double t = 0; t <= length && b.bearing < 130;) {
        air = air_of(m, t);
        log.points.push_back({t, engine::Celsius{b.bearing + off + noise * one(dice)},
                              engine::Celsius{air + air_off + 0.1 * one(dice)}});
        log.bearing.push_back(b.bearing);
        for (const double until = t + every; t < until - kStep / 2; t = kStep * ++steps)
            step(m, b, air_of(m, t), kStep);
    }
    if (kind == RunKind::runaway) return log;
    for (int i = 0; i < 100'000; ++i) // 83 hours on, the grease settled
        step(m, b, air, 0.05);
    log.level = b.bearing, log.rise = b.bearing - air;
    log.still = std::abs(b.bearing - log.bearing.back());
    return log;
}

constexpr double kLimit = 80, kRise = 40, kBand = 2;

struct Count {
    int inside = 0, wrong = 0, said = 0, held = 0, level = 0, level_held = 0, false_stop = 0;
    int hot = 0, called = 0, healthy = 0;
};

/// The first reading at which the stop was due; past the end when never.
std::size_t stopped_at(const Log& log, const engine::RunIn& run)
{
    std::size_t at = 0;
    while (at < log.points.size() && !(run.stop_at_min && log.points[at].at_min >= *run.stop_at_min))
        ++at;
    return at;
}

void count_log(RunKind kind, const Log& log, const engine::RunIn& run, Count& count)
{
    const std::size_t at      = stopped_at(log, run);
    const bool        stopped = at < log.points.size();
    const bool        hot     = *std::ranges::max_element(log.bearing) > kLimit;
    if (kind == RunKind::runaway) {
        count.hot += hot ? 1 : 0;
        count.called += hot && stopped && run.runaway && log.bearing[at] <= kLimit ? 1 : 0;
        return;
    }
    ++count.healthy;
    count.false_stop += stopped && (run.runaway || log.bearing[at] < kLimit) ? 1 : 0;
    if (run.verdict == engine::Verdict::inside) {
        ++count.inside;
        count.wrong += log.level > kLimit || log.rise > kRise || log.still > kBand ? 1 : 0;
    }
    if (!run.level_low || !run.level_high) return;
    const bool held = run.level_low->value <= log.level && log.level <= run.level_high->value;
    ++count.said, count.held += held ? 1 : 0;
    count.level += run.levelled ? 1 : 0, count.level_held += run.levelled && held ? 1 : 0;
}

double percent(int part, int whole)
{
    return 100.0 * part / std::max(1, whole);
}

} // namespace

std::vector<Row> run_in(int cases, unsigned seed)
{
    Dice                 dice(seed);
    std::array<Count, 5> counts;
    Count                all;
    for (int i = 0; i < cases; ++i) {
        const auto kind = static_cast<RunKind>(i % 5);
        const Log  log  = log_of(kind, dice);
        const auto run  = engine::judge_run_in(log.points, {});
        if (run) count_log(kind, log, *run, counts.at(static_cast<std::size_t>(i % 5)));
    }
    Count rough; // thermometers as rough as they come
    for (int i = 0; i < cases / 5; ++i) {
        const auto kind = i % 2 == 0 ? RunKind::one_body : RunKind::two_bodies;
        const Log  log  = log_of(kind, dice, 0.75);
        if (const auto run = engine::judge_run_in(log.points, {})) count_log(kind, log, *run, rough);
    }
    for (const Count& c : counts) {
        all.inside += c.inside, all.wrong += c.wrong, all.said += c.said, all.held += c.held;
        all.level += c.level, all.level_held += c.level_held, all.false_stop += c.false_stop;
        all.healthy += c.healthy;
    }
    return {
        {"run-in: wrong among those called inside", percent(all.wrong, all.inside), 0, 2},
        {"run-in: level held by its interval, all logs", percent(all.held, all.said), 92, 98},
        {"run-in: level held by its interval, logs called level", percent(all.level_held, all.level), 92, 98},
        {"run-in: the same, a fast bearing in a slow housing", percent(counts[1].held, counts[1].said), 92,
         98},
        {"run-in: stops of healthy runs", percent(all.false_stop, all.healthy), 0, 2},
        {"run-in: the same with scatter of 0.75 K", percent(rough.false_stop, rough.healthy), 0, 2},
        {"run-in: runaways called before the limit", percent(counts[2].called, counts[2].hot), 99, 100},
        {"run-in: one body, level inside: called inside", percent(counts[0].inside, cases / 5), 80, 100},
    };
}

} // namespace truth
