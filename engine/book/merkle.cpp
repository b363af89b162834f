#include "engine/book/merkle.h"

namespace engine {
namespace {

/// Leaves of the left subtree: the largest power of two below `size`.
std::size_t split_of(std::size_t size)
{
    std::size_t left = 1;
    while (left * 2 < size)
        left *= 2;
    return left;
}

Hash root_of_range(std::span<const Hash> leaves)
{
    TreeEdge edge;
    for (const Hash& leaf : leaves)
        edge.append(leaf);
    return edge.root();
}

} // namespace

Hash leaf_hash(std::string_view json_bytes)
{
    Sha256 hash;
    hash.add(std::string_view("\0", 1));
    hash.add(json_bytes);
    return hash.finish();
}

Hash node_hash(const Hash& left, const Hash& right)
{
    std::array<unsigned char, 65> bytes{1};
    std::copy(left.begin(), left.end(), bytes.begin() + 1);
    std::copy(right.begin(), right.end(), bytes.begin() + 33);
    return sha256(bytes);
}

void TreeEdge::append(const Hash& leaf)
{
    Hash grown = leaf;
    for (std::uint64_t carry = size_; (carry & 1U) != 0; carry >>= 1U) {
        grown = node_hash(peaks_.back(), grown);
        peaks_.pop_back();
    }
    peaks_.push_back(grown);
    ++size_;
}

Hash TreeEdge::root() const
{
    if (peaks_.empty()) return sha256(std::string_view());
    Hash root = peaks_.back();
    for (std::size_t i = peaks_.size() - 1; i > 0; --i)
        root = node_hash(peaks_[i - 1], root);
    return root;
}

std::vector<Hash> inclusion_proof(std::span<const Hash> leaves, std::size_t index)
{
    std::vector<Hash> from_top;
    if (index >= leaves.size()) return from_top;
    while (leaves.size() > 1) {
        const std::size_t left = split_of(leaves.size());
        if (index < left) {
            from_top.push_back(root_of_range(leaves.subspan(left)));
            leaves = leaves.first(left);
        } else {
            from_top.push_back(root_of_range(leaves.first(left)));
            leaves = leaves.subspan(left);
            index -= left;
        }
    }
    return {from_top.rbegin(), from_top.rend()};
}

// RFC 9162 section 2.1.3.2.
bool proves_inclusion(const Hash& leaf, std::uint64_t index, std::uint64_t size, std::span<const Hash> proof,
                      const Hash& root)
{
    if (index >= size) return false;
    std::uint64_t at   = index;
    std::uint64_t last = size - 1;
    Hash          made = leaf;
    for (const Hash& beside : proof) {
        if (last == 0) return false;
        if ((at & 1U) != 0 || at == last) {
            made = node_hash(beside, made);
            while ((at & 1U) == 0 && at != 0) {
                at >>= 1U;
                last >>= 1U;
            }
        } else {
            made = node_hash(made, beside);
        }
        at >>= 1U;
        last >>= 1U;
    }
    return last == 0 && made == root;
}

} // namespace engine
