#include "engine/mounting/shims.h"

#include "engine/base/ranges.h"
#include "engine/metrology/verdict.h"

#include <algorithm>
#include <cstdint>
#include <functional>
#include <limits>

namespace engine {
namespace {

constexpr std::size_t kNoLeaf = std::numeric_limits<std::size_t>::max();

/// For every thickness the fewest leaves that make it, and the last leaf of such a pack.
struct Packs {
    std::vector<int>         count;
    std::vector<std::size_t> last;
};

Packs all_packs(std::size_t wanted, const std::vector<std::size_t>& leaves)
{
    constexpr int kNever = std::numeric_limits<int>::max();
    Packs         packs{std::vector<int>(wanted + 1, kNever), std::vector<std::size_t>(wanted + 1, kNoLeaf)};
    packs.count[0] = 0;
    for (std::size_t sum = 1; sum <= wanted; ++sum)
        for (const std::size_t leaf : leaves) {
            if (leaf > sum || packs.count[sum - leaf] == kNever) continue;
            if (packs.count[sum - leaf] + 1 >= packs.count[sum]) continue;
            packs.count[sum] = packs.count[sum - leaf] + 1;
            packs.last[sum]  = leaf;
        }
    return packs;
}

Millimetres from_dum(std::size_t dum)
{
    return Millimetres{static_cast<double>(dum) / 1e4};
}

} // namespace

Result<Millimetres> shim_thickness(Turns turns, ThreadPitch pitch, Millimetres tab_allowance)
{
    if (const auto bad = out_of({0, 4, "turns", 0}, turns.value, "turn of the nut")) return *bad;
    if (const auto bad = out_of({0.2, 12, "mm", 1}, pitch.value, "pitch of the nut")) return *bad;
    if (const auto bad = out_of({0, 2, "mm", 0}, tab_allowance.value, "allowance for the lock tab"))
        return *bad;
    return turns * pitch + tab_allowance;
}

Result<Millimetres> shim_thickness(Millimetres travel, Millimetres tab_allowance)
{
    if (const auto bad = out_of({0, 20, "mm", 0}, travel.value, "travel")) return *bad;
    if (const auto bad = out_of({0, 2, "mm", 0}, tab_allowance.value, "allowance for the lock tab"))
        return *bad;
    return travel + tab_allowance;
}

Result<ShimPack> fewest_leaves(Millimetres wanted, std::span<const Millimetres> stock)
{
    if (const auto bad = out_of({0, 20, "mm", 0}, wanted.value, "thickness wanted")) return *bad;
    if (stock.empty()) return failure(Fault::bad_input, "There is no shim leaf to choose from; name some.");
    if (const auto bad = out_of({1, 40, "", 0}, static_cast<double>(stock.size()), "number of leaf sizes"))
        return *bad;
    std::vector<std::size_t> leaves;
    for (const Millimetres leaf : stock) {
        if (const auto bad = out_of({0.01, 20, "mm", 2}, leaf.value, "thickness of a leaf")) return *bad;
        leaves.push_back(static_cast<std::size_t>(to_dum(leaf)));
    }
    const auto  target = static_cast<std::size_t>(to_dum(wanted));
    const Packs packs  = all_packs(target, leaves);
    std::size_t sum    = target;
    while (sum > 0 && packs.last[sum] == kNoLeaf)
        --sum;
    ShimPack pack;
    pack.thickness = from_dum(sum);
    pack.left_over = Millimetres{std::max(0.0, wanted.value - pack.thickness.value)};
    for (; sum > 0; sum -= packs.last[sum])
        pack.leaves.push_back(from_dum(packs.last[sum]));
    std::sort(pack.leaves.begin(), pack.leaves.end(), std::greater<>());
    return pack;
}

std::vector<Millimetres> common_leaves()
{
    return {Millimetres{1.0}, Millimetres{0.5}, Millimetres{0.2}, Millimetres{0.1}, Millimetres{0.05}};
}

} // namespace engine
