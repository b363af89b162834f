#include "engine/metrology/verdict.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

namespace engine {
namespace {

constexpr std::array<std::string_view, 3> kNames{"inside", "undecided", "outside"};
constexpr double                          kLargestDum = 1e11; // 10 km in 0.1 um

std::int64_t saturated(double dum)
{
    if (std::isnan(dum)) return static_cast<std::int64_t>(kLargestDum); // fails every upper limit
    return static_cast<std::int64_t>(std::clamp(dum, -kLargestDum, kLargestDum));
}

/// Everything compared here stays far from the ends of 64 bits.
std::int64_t bounded(std::int64_t value)
{
    constexpr std::int64_t kEnd = 4'000'000'000'000'000'000;
    return std::clamp(value, -kEnd, kEnd);
}

} // namespace

std::string_view name_of(Verdict verdict)
{
    return kNames.at(static_cast<std::size_t>(verdict));
}

Result<Verdict> verdict_from(std::string_view name)
{
    for (std::size_t i = 0; i < kNames.size(); ++i)
        if (kNames.at(i) == name) return static_cast<Verdict>(i);
    return failure(Fault::bad_input, "'" + std::string(name.substr(0, 32)) +
                                         "' is not a verdict; it is inside, undecided or outside.");
}

std::string_view name_of(DecisionRule rule)
{
    return rule == DecisionRule::k2 ? "k2" : "95";
}

Result<DecisionRule> rule_from(std::string_view name)
{
    if (name == "k2") return DecisionRule::k2;
    if (name == "95") return DecisionRule::one_sided_95;
    return failure(Fault::bad_input, "'" + std::string(name.substr(0, 32)) +
                                         "' is not a decision rule; it is k2 (guard band of twice the "
                                         "standard uncertainty) or 95 (95 percent sure at one limit).");
}

double guard_factor(DecisionRule rule)
{
    return rule == DecisionRule::k2 ? 2.0 : 1.645;
}

Verdict worst(Verdict a, Verdict b)
{
    return std::max(a, b);
}

Verdict worst(std::initializer_list<Verdict> verdicts)
{
    return verdicts.size() == 0 ? Verdict::inside : std::max(verdicts);
}

Verdict decide(std::int64_t reading, std::int64_t expanded_u, const IntegerLimits& limits)
{
    const std::int64_t y       = bounded(reading);
    const std::int64_t u       = bounded(expanded_u) < 0 ? -bounded(expanded_u) : bounded(expanded_u);
    Verdict            verdict = Verdict::inside;
    if (limits.low) {
        const std::int64_t low = bounded(*limits.low);
        if (y < low - u) return Verdict::outside;
        if (y < low + u) verdict = Verdict::undecided;
    }
    if (limits.high) {
        const std::int64_t high = bounded(*limits.high);
        if (y > high + u) return Verdict::outside;
        if (y > high - u) verdict = Verdict::undecided;
    }
    return verdict;
}

std::int64_t to_dum(Millimetres length)
{
    return saturated(std::round(length.value * 1e4));
}

std::int64_t u_to_dum(Micrometres expanded_u)
{
    // A hair is allowed for the last bit of a double: 6.0 um is 60 and not 61.
    return saturated(std::ceil(std::abs(expanded_u.value) * 10 - 1e-6));
}

} // namespace engine
