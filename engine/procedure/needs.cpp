#include "engine/procedure/needs.h"

#include <algorithm>
#include <functional>
#include <queue>

namespace engine {
namespace {

/// Walks from a node that cannot be placed along needs that cannot be placed, until a node comes up twice.
std::vector<std::size_t> circle_of(const std::vector<std::vector<std::size_t>>& needs,
                                   const std::vector<bool>&                     placed)
{
    std::vector<std::size_t> walk;
    auto                     at = static_cast<std::size_t>(std::ranges::find(placed, false) - placed.begin());
    while (std::ranges::find(walk, at) == walk.end()) {
        walk.push_back(at);
        at = *std::ranges::find_if(needs[at], [&](std::size_t need) { return !placed[need]; });
    }
    walk.erase(walk.begin(), std::ranges::find(walk, at));
    return walk;
}

} // namespace

Sorted sort_by_needs(const std::vector<std::vector<std::size_t>>& needs)
{
    const std::size_t                     count = needs.size();
    std::vector<std::size_t>              open_needs(count, 0);
    std::vector<std::vector<std::size_t>> needed_by(count);
    for (std::size_t node = 0; node < count; ++node) {
        open_needs[node] = needs[node].size();
        for (const std::size_t need : needs[node])
            needed_by[need].push_back(node);
    }
    std::priority_queue<std::size_t, std::vector<std::size_t>, std::greater<>> ready;
    for (std::size_t node = 0; node < count; ++node)
        if (open_needs[node] == 0) ready.push(node);

    Sorted            sorted;
    std::vector<bool> placed(count, false);
    while (!ready.empty()) {
        const std::size_t node = ready.top();
        ready.pop();
        placed[node] = true;
        sorted.order.push_back(node);
        for (const std::size_t next : needed_by[node])
            if (--open_needs[next] == 0) ready.push(next);
    }
    if (sorted.order.size() != count) sorted.circle = circle_of(needs, placed);
    return sorted;
}

} // namespace engine
