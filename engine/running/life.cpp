#include "engine/running/life.h"

#include "engine/base/ranges.h"
#include "engine/base/tables.h"
#include "engine/running/a_iso.h"

#include <cmath>

namespace engine {
namespace {

constexpr double kMostLoad = 0.5; // of C
// Of C, common practice: under less load balls and rollers are not driven round by the ring and slide.
constexpr double kLeastOnBalls = 0.01, kLeastOnRollers = 0.02;

const Result<OwnTable>& reliability_table()
{
    static const Result<OwnTable> table = own_table("a1_reliability");
    return table;
}

/// Weibull paper: ln(ln(1/R)).
double paper(double percent)
{
    return std::log(-std::log(percent / 100));
}

std::optional<Failure> bad_case(const LifeCase& b)
{
    if (auto bad = out_of({0.01, 100'000, "kN", 2}, b.c.value, "load rating C")) return bad;
    if (auto bad = out_of({1e-6 * b.c.value, kMostLoad * b.c.value, "kN", 3}, b.p.value, "load P"))
        return bad;
    return out_of({0.1, 100'000, "r/min", 1}, b.speed.value, "speed");
}

} // namespace

Result<double> reliability_factor(double reliability_percent)
{
    if (const auto bad = out_of({90, 99.95, "%", 2}, reliability_percent, "reliability")) return *bad;
    const auto& table = reliability_table();
    if (!table) return table.failure();
    for (std::size_t row = 0; row + 1 < table->rows(); ++row) {
        const auto low = table->number(row, "reliability_pct"), from = table->number(row, "a1");
        const auto high = table->number(row + 1, "reliability_pct"), to = table->number(row + 1, "a1");
        if (!low || !from || !high || !to)
            return failure(Fault::corrupt, "The table of life factors has a row without numbers.");
        if (reliability_percent > *high) continue;
        const double share = (paper(reliability_percent) - paper(*low)) / (paper(*high) - paper(*low));
        return std::exp(std::log(*from) + share * (std::log(*to) - std::log(*from)));
    }
    return failure(Fault::corrupt, "The table of life factors does not reach this reliability.");
}

Result<LifeFigures> rating_life(const LifeCase& b)
{
    if (const auto bad = bad_case(b)) return *bad;
    const int given = int{b.kappa.has_value()} + int{b.ec.has_value()} + int{b.cu.has_value()};
    if (given != 0 && given != 3)
        return failure(Fault::bad_input, "The modified life needs all of kappa, eC and Cu.");
    const auto a1 = reliability_factor(b.reliability_percent);
    if (!a1) return a1.failure();
    const double power = b.kind == ElementKind::ball ? 3.0 : 10.0 / 3;
    LifeFigures  life;
    life.a1         = *a1;
    life.least_load = (b.kind == ElementKind::ball ? kLeastOnBalls : kLeastOnRollers) * b.c;
    life.too_light  = b.p < life.least_load;
    life.l10_mrev   = std::pow(b.c / b.p, power);
    life.l10h       = Hours{1e6 * life.l10_mrev / (60 * b.speed.value)};
    life.lnh        = life.a1 * life.l10h;
    if (given == 0) return life;
    if (const auto bad = out_of({0, b.c.value, "kN", 3}, b.cu->value, "fatigue load limit Cu")) return *bad;
    const auto a_iso = modified_life_factor({b.kind, *b.kappa, *b.ec, *b.cu / b.p, b.proven_additive});
    if (!a_iso) return a_iso.failure();
    life.a_iso = *a_iso;
    life.lnmh  = *a_iso * life.lnh;
    return life;
}

} // namespace engine
