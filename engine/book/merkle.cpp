#include "engine/book/merkle.h"

#include <utility>

namespace engine {
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

HashTree::HashTree(std::vector<Hash> leaves)
{
    levels_.push_back(std::move(leaves));
    while (levels_.back().size() > 1) {
        const std::vector<Hash>& below = levels_.back();
        std::vector<Hash>        above;
        above.reserve((below.size() + 1) / 2);
        for (std::size_t i = 0; i + 1 < below.size(); i += 2)
            above.push_back(node_hash(below[i], below[i + 1]));
        if (below.size() % 2 == 1) above.push_back(below.back());
        levels_.push_back(std::move(above));
    }
}

Hash HashTree::root() const
{
    return size() == 0 ? sha256(std::string_view()) : levels_.back().front();
}

std::vector<Hash> HashTree::beside(std::size_t index) const
{
    std::vector<Hash> found;
    if (index >= size()) return found;
    for (const std::vector<Hash>& level : levels_) {
        const std::size_t neighbour = index ^ 1U;
        if (neighbour < level.size()) found.push_back(level[neighbour]);
        index /= 2;
    }
    return found;
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
