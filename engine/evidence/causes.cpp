#include "engine/evidence/causes.h"

#include <algorithm>
#include <utility>

namespace engine {
namespace {

bool speaks_of_a_step(const Exception& one)
{
    return one.finding == Finding::held || one.finding == Finding::outside ||
           one.finding == Finding::undecided || one.finding == Finding::deviation;
}

/// A reading has the instrument and hand of a person; a figure is worked out of readings.
bool is_reading(const Exception& one)
{
    return one.value && !one.figure;
}

/// Readings before figures, worse before better; what only says how the step stands comes last.
bool leads(const Exception& a, const Exception& b)
{
    const auto weight = [](const Exception& one) {
        const int kind = is_reading(one) ? 0 : one.figure ? 1 : 2;
        return std::pair(kind, one.verdict == Verdict::outside ? 0 : 1);
    };
    return weight(a) < weight(b);
}

Cause cause_of_step(std::vector<Exception> group)
{
    std::stable_sort(group.begin(), group.end(), leads);
    Cause cause;
    cause.lead    = group.front();
    cause.finding = cause.lead.finding;
    for (std::size_t i = 0; i < group.size(); ++i) {
        if (group[i].finding == Finding::held) cause.finding = Finding::held;
        if (group[i].finding == Finding::deviation)
            cause.decision = group[i];
        else if (i > 0 && group[i].finding != Finding::held)
            cause.also.push_back(group[i]);
    }
    return cause;
}

/// The same quantity against the same upper limit: the angle turned, and the final angle that begins with it.
bool same_limit(const Exception& a, const Exception& b)
{
    return a.value && b.value && a.limits && b.limits && si_unit(a.value->unit) == si_unit(b.value->unit) &&
           a.limits->high && a.limits->high == b.limits->high;
}

/// The steps at one position that come after a reading beside its limit, and repeat it in their figures
/// alone.
void carry_on(std::vector<Cause>& causes)
{
    for (std::size_t i = 0; i < causes.size();) {
        const Cause& later   = causes[i];
        const auto   earlier = std::find_if(causes.begin(), causes.end(), [&](const Cause& one) {
            return one.lead.at.pos == later.lead.at.pos && one.lead.at.key != later.lead.at.key &&
                   is_reading(one.lead) && same_limit(one.lead, later.lead);
        });
        const bool   repeats = later.lead.figure && earlier != causes.end() &&
                             std::none_of(later.also.begin(), later.also.end(), is_reading);
        if (!repeats) {
            ++i;
            continue;
        }
        earlier->carried_to.push_back(later.lead.at);
        if (later.finding == Finding::held) earlier->finding = Finding::held;
        causes.erase(causes.begin() + static_cast<std::ptrdiff_t>(i));
    }
}

} // namespace

std::vector<Cause> causes_of(const std::vector<Exception>& exceptions)
{
    std::vector<Cause> causes;
    std::vector<bool>  taken(exceptions.size(), false);
    for (std::size_t i = 0; i < exceptions.size(); ++i) {
        if (taken[i]) continue;
        std::vector<Exception> group;
        for (std::size_t k = i; k < exceptions.size(); ++k) {
            const bool same = k == i || (speaks_of_a_step(exceptions[i]) && speaks_of_a_step(exceptions[k]) &&
                                         exceptions[k].at == exceptions[i].at);
            if (taken[k] || !same) continue;
            taken[k] = true;
            group.push_back(exceptions[k]);
        }
        causes.push_back(cause_of_step(std::move(group)));
    }
    carry_on(causes);
    std::stable_sort(causes.begin(), causes.end(),
                     [](const Cause& a, const Cause& b) { return a.finding < b.finding; });
    return causes;
}

} // namespace engine
