#include "engine/fit/locktab.h"

#include "engine/base/ranges.h"

#include <cmath>
#include <numeric>

namespace engine {
namespace {

/// Angles are compared in millidegrees, as readings are kept.
std::int64_t mdeg(Degrees angle)
{
    return std::llround(angle.value * 1000);
}

Verdict verdict_of(const LockTab& tab, const LockTabFigures& figures)
{
    if (!tab.limit) return Verdict::inside;
    const std::int64_t limit = mdeg(*tab.limit);
    if (mdeg(tab.turned) > limit) return Verdict::outside;
    if (mdeg(figures.final_angle) <= limit) return Verdict::inside;
    return tab.gap ? Verdict::outside : Verdict::undecided;
}

} // namespace

Result<Degrees> lock_step(int slots, int tangs)
{
    if (const auto bad = out_of({1, 12, "", 0}, slots, "number of slots")) return *bad;
    if (const auto bad = out_of({1, 60, "", 0}, tangs, "number of tangs")) return *bad;
    return Degrees{360.0 / std::lcm(slots, tangs)};
}

Result<LockTabFigures> lock_tab(const LockTab& tab)
{
    const auto step = lock_step(tab.slots, tab.tangs);
    if (!step) return step.failure();
    if (const auto bad = out_of({0, 1440, "degrees", 0}, tab.turned.value, "angle turned")) return *bad;
    if (tab.limit)
        if (const auto bad = out_of({0, 1440, "degrees", 0}, tab.limit->value, "limit of the angle"))
            return *bad;
    // A tenth of a degree more than the step is reading error, not another tang.
    if (tab.gap)
        if (const auto bad =
                out_of({0, step->value + 0.1, "degrees", 2}, tab.gap->value, "gap to the next tang"))
            return *bad;
    if (tab.pitch)
        if (const auto bad = out_of({0.2, 12, "mm", 1}, tab.pitch->value, "pitch of the nut")) return *bad;

    LockTabFigures figures;
    figures.step        = *step;
    figures.extra       = tab.gap ? *tab.gap : *step;
    figures.final_angle = tab.turned + figures.extra;
    if (tab.pitch) figures.extra_travel = to_turns(figures.extra) * *tab.pitch;
    figures.verdict = verdict_of(tab, figures);
    return figures;
}

} // namespace engine
