#pragma once
// The order in which every reader shows entries (FORMAT.md section 3), told from what the
// tables keep of a line: nothing is taken apart for it.
#include "engine/book/entry.h"
#include "engine/book/seal.h"

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

namespace engine {

/// What the place of one entry in the order hangs on.
struct Shown {
    std::int64_t      hlc_ms = 0, hlc_c = 0;
    std::string_view  dev; ///< 64 hex
    std::uint64_t     seq = 0;
    Hash              id{};
    std::vector<Hash> refs; ///< ids of the entries it answers
};

/// Indexes of the list, sorted by (hlc, dev, seq, id); where a wrong clock would put an entry before one it
/// answers, or before an earlier one of its own machine, it comes just behind.
[[nodiscard]] std::vector<std::size_t> in_shown_order(const std::vector<Shown>& entries);

/// Entries put into that order.
[[nodiscard]] std::vector<Entry> in_shown_order(std::vector<Entry> entries);

/// Ids a stored line answers, found by the place the one form of an entry gives them.
[[nodiscard]] std::vector<Hash> refs_in(std::string_view line);

} // namespace engine
