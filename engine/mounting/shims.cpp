#include "engine/mounting/shims.h"

#include "engine/base/ranges.h"
#include "engine/metrology/verdict.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <numeric>

namespace engine {
namespace {

constexpr double kLeastApartDeg = 20; // degrees between two points of a flange
constexpr double kPerRadian     = 180 / std::numbers::pi;

/// A bundle of equal leaves that is taken whole or not at all; sizes in the common unit of all leaves.
struct Bundle {
    std::size_t size = 0, leaf = 0; ///< whole bundle, one leaf
    int         leaves = 0;
};

/// 1, 2, 4, .. leaves and the rest: any number up to all of them can be put together.
std::vector<Bundle> bundles_of(std::size_t leaf, int at_hand, std::size_t wanted)
{
    std::vector<Bundle> bundles;
    int left = static_cast<int>(std::min<std::size_t>(static_cast<std::size_t>(at_hand), wanted / leaf));
    for (int take = 1; left > 0; take *= 2) {
        const int now = std::min(take, left);
        bundles.push_back({leaf * static_cast<std::size_t>(now), leaf, now});
        left -= now;
    }
    return bundles;
}

/// For every thickness up to the wanted one the fewest leaves that make it, bundle by bundle.
class Packs {
  public:
    Packs(std::size_t wanted, std::vector<Bundle> bundles)
        : bundles_(std::move(bundles)), count_(wanted + 1, kNever)
    {
        count_[0] = 0;
        for (const Bundle& bundle : bundles_) {
            std::vector<bool>& taken = taken_.emplace_back(wanted + 1, false);
            for (std::size_t sum = wanted; sum >= bundle.size; --sum) {
                const int before = count_[sum - bundle.size];
                if (before == kNever || before + bundle.leaves >= count_[sum]) continue;
                count_[sum] = before + bundle.leaves;
                taken[sum]  = true;
            }
        }
    }

    /// The thickest that can be made.
    [[nodiscard]] std::size_t nearest() const
    {
        std::size_t sum = count_.size() - 1;
        while (count_[sum] == kNever)
            --sum;
        return sum;
    }

    [[nodiscard]] std::vector<std::size_t> leaves_of(std::size_t sum) const
    {
        std::vector<std::size_t> leaves;
        for (std::size_t i = bundles_.size(); i > 0; --i) {
            if (!taken_[i - 1][sum]) continue;
            leaves.insert(leaves.end(), static_cast<std::size_t>(bundles_[i - 1].leaves),
                          bundles_[i - 1].leaf);
            sum -= bundles_[i - 1].size;
        }
        return leaves;
    }

  private:
    static constexpr int           kNever = std::numeric_limits<int>::max();
    std::vector<Bundle>            bundles_;
    std::vector<int>               count_;
    std::vector<std::vector<bool>> taken_;
};

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
    std::vector<ShimLeaf> leaves;
    for (const Millimetres leaf : stock)
        leaves.push_back({leaf});
    return fewest_leaves(wanted, leaves);
}

Result<ShimPack> fewest_leaves(Millimetres wanted, std::span<const ShimLeaf> stock)
{
    if (const auto bad = out_of({0, 20, "mm", 0}, wanted.value, "thickness wanted")) return *bad;
    if (stock.empty()) return failure(Fault::bad_input, "There is no shim leaf to choose from; name some.");
    if (const auto bad = out_of({1, 40, "", 0}, static_cast<double>(stock.size()), "number of leaf sizes"))
        return *bad;
    std::size_t unit = 0; // largest thickness that divides every leaf
    for (const ShimLeaf& leaf : stock) {
        if (const auto bad = out_of({0.01, 20, "mm", 2}, leaf.thickness.value, "thickness of a leaf"))
            return *bad;
        if (const auto bad = out_of({0, 1000, "", 0}, leaf.at_hand, "number of leaves at hand")) return *bad;
        unit = std::gcd(unit, static_cast<std::size_t>(to_dum(leaf.thickness)));
    }
    const std::size_t   target = static_cast<std::size_t>(to_dum(wanted)) / unit;
    std::vector<Bundle> bundles;
    for (const ShimLeaf& leaf : stock)
        for (const Bundle& bundle :
             bundles_of(static_cast<std::size_t>(to_dum(leaf.thickness)) / unit, leaf.at_hand, target))
            bundles.push_back(bundle);
    const Packs       packs(target, std::move(bundles));
    const std::size_t sum = packs.nearest();
    ShimPack          pack;
    pack.thickness = from_dum(sum * unit);
    pack.left_over = Millimetres{std::max(0.0, wanted.value - pack.thickness.value)};
    for (const std::size_t leaf : packs.leaves_of(sum))
        pack.leaves.push_back(from_dum(leaf * unit));
    std::sort(pack.leaves.begin(), pack.leaves.end(), std::greater<>());
    return pack;
}

Result<ShimPlane> plane_of(const ThreeShims& shims)
{
    if (const auto bad = out_of({10, 5000, "mm", 0}, shims.circle.value, "circle of the shims")) return *bad;
    std::array<double, 3> x{}, y{}, z{};
    for (std::size_t i = 0; i < 3; ++i) {
        z.at(i) = shims.thickness.at(i).value;
        if (const auto bad = out_of({0, 20, "mm", 0}, z.at(i), "thickness of a shim")) return *bad;
        const double at = shims.at.at(i).value, next = shims.at.at((i + 1) % 3).value;
        if (const auto bad = out_of({-360, 360, "degrees", 0}, at, "place of a shim")) return *bad;
        const double apart = std::abs(std::remainder(next - at, 360.0));
        if (const auto bad = out_of({kLeastApartDeg, 180, "degrees", 0}, apart, "distance between two shims"))
            return *bad;
        x.at(i) = shims.circle.value / 2 * std::cos(at / kPerRadian);
        y.at(i) = shims.circle.value / 2 * std::sin(at / kPerRadian);
    }
    const double x1 = x[1] - x[0], x2 = x[2] - x[0], y1 = y[1] - y[0], y2 = y[2] - y[0];
    const double z1 = z[1] - z[0], z2 = z[2] - z[0], area = x1 * y2 - x2 * y1;
    const double across = (z1 * y2 - z2 * y1) / area, up = (x1 * z2 - x2 * z1) / area;
    const double slope = std::hypot(across, up);
    ShimPlane    plane;
    plane.centre = Millimetres{z[0] - across * x[0] - up * y[0]};
    plane.tilt   = Degrees{std::atan(slope) * kPerRadian};
    plane.across = slope * shims.circle;
    if (slope > 1e-12) plane.high_at = Degrees{std::fmod(std::atan2(up, across) * kPerRadian + 360, 360.0)};
    return plane;
}

std::vector<Millimetres> common_leaves()
{
    return {Millimetres{1.0}, Millimetres{0.5}, Millimetres{0.2}, Millimetres{0.1}, Millimetres{0.05}};
}

} // namespace engine
