#pragma once
// The tree over the entries of one machine: RFC 6962 section 2.1 with SHA-256, leaves being the JSON bytes of
// the lines in sequence order. FORMAT.md section 8.
#include "engine/book/seal.h"

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

[[nodiscard]] Hash leaf_hash(std::string_view json_bytes);
[[nodiscard]] Hash node_hash(const Hash& left, const Hash& right);

/// The right edge of a growing tree: all it takes to append and to name the root.
class TreeEdge {
  public:
    TreeEdge() = default;
    TreeEdge(std::uint64_t size, std::vector<Hash> peaks) : size_(size), peaks_(std::move(peaks)) {}
    void                                   append(const Hash& leaf);
    [[nodiscard]] std::uint64_t            size() const { return size_; }
    [[nodiscard]] const std::vector<Hash>& peaks() const { return peaks_; }
    [[nodiscard]] Hash                     root() const; ///< of no leaves: SHA-256 of nothing

  private:
    std::uint64_t     size_ = 0;
    std::vector<Hash> peaks_; ///< roots of the perfect subtrees, largest first
};

/// The whole tree over some leaves: made once, it proves any of them in no time. A node without a neighbour
/// on its right goes up as it is, which is the tree of RFC 6962.
class HashTree {
  public:
    explicit HashTree(std::vector<Hash> leaves);
    [[nodiscard]] std::size_t size() const { return levels_.front().size(); }
    [[nodiscard]] Hash        root() const; ///< of no leaves: SHA-256 of nothing
    /// Hashes beside the way from leaf `index` (from 0) up to the root, nearest first. Empty when there is no
    /// such leaf.
    [[nodiscard]] std::vector<Hash> beside(std::size_t index) const;

  private:
    std::vector<std::vector<Hash>> levels_; ///< leaves first
};

/// Whether `leaf` stands at `index` (from 0) of the tree of `size` leaves with that root.
[[nodiscard]] bool proves_inclusion(const Hash& leaf, std::uint64_t index, std::uint64_t size,
                                    std::span<const Hash> proof, const Hash& root);

} // namespace engine
