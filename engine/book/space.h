#pragma once
// Room on the disk the book lies on. FORMAT.md section 6, "Ballast".
#include <cstdint>

namespace engine {

enum class SpaceLevel {
    ok,
    low,     ///< below 500 MB: warn; photos others have may leave this machine
    critical ///< below 100 MB, or the ballast is used up: finish the step in hand, begin no new job
};

struct Space {
    std::uint64_t free_bytes = 0; ///< for this program; 0 with known = false when the disk does not say
    SpaceLevel    level      = SpaceLevel::ok;
    bool          known      = false;
};

inline constexpr std::uint64_t kLowSpace      = 500'000'000;
inline constexpr std::uint64_t kCriticalSpace = 100'000'000;

} // namespace engine
