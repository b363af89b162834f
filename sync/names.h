#pragma once
// Names in the shared folder: sync/FORMAT.md section 1.
#include <string_view>

namespace sync {

inline constexpr std::string_view kRoot = "witnessmark1"; ///< folder of this format inside the share

/// True for names this format may write: [0-9a-z.-]+, no leading dot, at most 80 characters.
[[nodiscard]] bool is_own_name(std::string_view name);

} // namespace sync
