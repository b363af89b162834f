// The tree of RFC 6962. The roots of the eight inputs below are those the certificate transparency programs
// test themselves with (from memory); that they come out is the check.
#include "engine/book/entry.h"
#include "engine/book/merkle.h"

#include <doctest/doctest.h>

#include <array>

using namespace engine;

namespace {

std::vector<Hash> eight_leaves()
{
    using namespace std::string_view_literals;
    std::vector<Hash> leaves;
    for (const std::string_view input :
         {""sv, "\0"sv, "\x10"sv, "\x20\x21"sv, "\x30\x31"sv, "\x40\x41\x42\x43"sv,
          "\x50\x51\x52\x53\x54\x55\x56\x57"sv,
          "\x60\x61\x62\x63\x64\x65\x66\x67\x68\x69\x6a\x6b\x6c\x6d\x6e\x6f"sv})
        leaves.push_back(leaf_hash(input));
    return leaves;
}

Hash root_over(std::span<const Hash> leaves)
{
    TreeEdge edge;
    for (const Hash& leaf : leaves)
        edge.append(leaf);
    return edge.root();
}

} // namespace

TEST_SUITE("engine/book tree")
{
    TEST_CASE("the roots of the known eight inputs come out")
    {
        const auto                       leaves = eight_leaves();
        const std::array<const char*, 8> roots{
            "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
            "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
            "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
            "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
            "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
            "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
            "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
            "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"};
        for (std::size_t n = 1; n <= 8; ++n)
            CHECK(hex(root_over(std::span(leaves).first(n))) == roots[n - 1]);
        CHECK(hex(TreeEdge().root()) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }

    TEST_CASE("every leaf of every tree up to 40 is proved, and no other leaf is, nor at another place")
    {
        std::vector<Hash> leaves;
        int               proved = 0, wrong = 0;
        for (int n = 0; n < 40; ++n) {
            leaves.push_back(leaf_hash(std::to_string(n)));
            const Hash     root = root_over(leaves);
            const HashTree tree(leaves);
            CHECK(tree.root() == root);
            for (std::size_t i = 0; i < leaves.size(); ++i) {
                const auto proof = tree.beside(i);
                if (proves_inclusion(leaves[i], i, leaves.size(), proof, root)) ++proved;
                if (proves_inclusion(leaf_hash("other"), i, leaves.size(), proof, root)) ++wrong;
                if (leaves.size() > 1 &&
                    proves_inclusion(leaves[i], (i + 1) % leaves.size(), leaves.size(), proof, root))
                    ++wrong;
            }
        }
        CHECK(proved == 820);
        CHECK(wrong == 0);
    }
}
