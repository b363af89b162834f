#pragma once
// Order out of needs: the one sorting both the reader of the procedure and the maker of plans use.
#include <cstddef>
#include <vector>

namespace engine {

struct Sorted {
    std::vector<std::size_t> order;  ///< all nodes when circle is empty
    std::vector<std::size_t> circle; ///< nodes of one circle, each needing the next, the last the first
};

/// `needs[n]`: nodes that come before n. Of the nodes that may come next the one of the lowest number comes
/// next, so an order that is valid already is kept.
[[nodiscard]] Sorted sort_by_needs(const std::vector<std::vector<std::size_t>>& needs);

} // namespace engine
