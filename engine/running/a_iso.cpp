#include "engine/running/a_iso.h"

#include "engine/base/ranges.h"
#include "engine/base/tables.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace engine {
namespace {

constexpr double kMost         = 50;
constexpr double kMostKappa    = 4;
constexpr double kAdditiveFrom = 0.2; // eC
constexpr double kAdditiveMost = 3;

struct Branch {
    double from_kappa = 0, a = 0, k1 = 0, k2 = 0;
};
using Branches = std::array<std::array<Branch, 3>, 2>; // ball, roller; rising kappa

Result<Branches> read_branches()
{
    const auto table = own_table("a_iso_constants");
    if (!table) return table.failure();
    Branches                   all{};
    std::array<std::size_t, 2> next{};
    for (std::size_t row = 0; row < table->rows(); ++row) {
        const std::size_t kind = table->text(row, "bearing_type") == "radial ball" ? 0 : 1;
        const auto        from = table->number(row, "kappa_min_incl"), a = table->number(row, "A");
        const auto        k1 = table->number(row, "k1"), k2 = table->number(row, "k2");
        if (!from || !a || !k1 || !k2 || next.at(kind) == 3) break;
        all.at(kind).at(next.at(kind)++) = {*from, *a, *k1, *k2};
    }
    if (next != std::array<std::size_t, 2>{3, 3})
        return failure(Fault::corrupt, "The table of constants of aISO is not whole.");
    return all;
}

double factor(const std::array<Branch, 3>& branches, ElementKind kind, double kappa, double dirt)
{
    const bool    ball   = kind == ElementKind::ball;
    const Branch* branch = &branches.front();
    for (const Branch& candidate : branches)
        if (kappa >= candidate.from_kappa) branch = &candidate;
    const double film    = branch->a - branch->k1 / std::pow(kappa, branch->k2);
    const double bracket = ball ? 1 - std::pow(film, 0.83) * std::cbrt(dirt) : 1 - film * std::pow(dirt, 0.4);
    if (bracket <= 0) return kMost;
    return std::min(kMost, 0.1 * std::pow(bracket, ball ? -9.3 : -9.185));
}

} // namespace

Result<double> modified_life_factor(const LifeConditions& c)
{
    static const Result<Branches> branches = read_branches();
    if (!branches) return branches.failure();
    if (const auto bad = out_of({0.1, 1000, "", 1}, c.kappa, "viscosity ratio kappa")) return *bad;
    if (const auto bad = out_of({0, 1, "", 0}, c.ec, "contamination factor eC")) return *bad;
    if (const auto bad = out_of({0, 1000, "", 0}, c.cu_over_p, "ratio Cu/P")) return *bad;
    const auto&  mine  = branches->at(c.kind == ElementKind::ball ? 0 : 1);
    const double dirt  = c.ec * c.cu_over_p;
    const double plain = factor(mine, c.kind, std::min(c.kappa, kMostKappa), dirt);
    if (!c.proven_additive || c.kappa >= 1 || c.ec < kAdditiveFrom) return plain;
    return std::max(plain, std::min(kAdditiveMost, factor(mine, c.kind, 1, dirt)));
}

} // namespace engine
