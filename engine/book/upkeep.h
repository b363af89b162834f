#pragma once
// Work on a book that may be done beside its one writer, on any thread.
#include "engine/base/result.h"

#include <cstdint>
#include <filesystem>

namespace engine {

inline constexpr std::uint64_t kLongLog = 2'000'000; ///< bytes

/// Moves what sqlite's log holds into the book's file, when the log is longer than `least`: done by the
/// writer itself in the middle of a commit it would hold up the screen. Never waits for the writer, never
/// makes it wait. Faults: io.
[[nodiscard]] Status fold_log(const std::filesystem::path& book, std::uint64_t least = kLongLog);

} // namespace engine
