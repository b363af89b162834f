// The tree over one machine's entries, as the book keeps it: the right edge is stored and moves on when
// asked.
#include "engine/book/inside.h"
#include "engine/book/merkle.h"

#include <algorithm>

namespace engine {
namespace {

constexpr std::size_t kBodyAt = 129; ///< behind signature and space

TreeEdge edge_of(const Ledger& ledger, std::int64_t number)
{
    Query query(ledger.db(), "SELECT size, peaks FROM edge WHERE number = ?1");
    query.bind(1, number);
    if (!query.row()) return {};
    const std::string_view bytes = query.text(1);
    std::vector<Hash>      peaks(bytes.size() / 32);
    for (std::size_t i = 0; i < peaks.size(); ++i)
        std::copy_n(bytes.begin() + static_cast<std::ptrdiff_t>(32 * i), 32, peaks[i].begin());
    return {static_cast<std::uint64_t>(query.whole(0)), std::move(peaks)};
}

Status keep_edge(Ledger& ledger, std::int64_t number, const TreeEdge& edge)
{
    std::string bytes;
    for (const Hash& peak : edge.peaks())
        bytes.append(reinterpret_cast<const char*>(peak.data()), peak.size());
    Query set(ledger.db(), "INSERT OR REPLACE INTO edge(number, size, peaks) VALUES(?1, ?2, ?3)");
    set.bind(1, number).bind(2, static_cast<std::int64_t>(edge.size()));
    return set.bind_bytes(3, bytes.data(), bytes.size()).run();
}

template <class Visit>
bool each_leaf(const Ledger& ledger, std::int64_t number, std::uint64_t after, std::uint64_t last,
               Visit visit)
{
    Query query(ledger.db(), "SELECT line FROM entry WHERE place > ?1 AND place <= ?2 ORDER BY place");
    query.bind(1, Ledger::place_of(number, after)).bind(2, Ledger::place_of(number, last));
    std::uint64_t count = after;
    for (; query.row(); ++count)
        visit(leaf_hash(query.text(0).substr(kBodyAt)));
    return count == last;
}

} // namespace

/// The edge over the first `seq` - 1 entries of a chain that is about to grow. Kept in memory, so that the
/// root is at hand when the witness is written: hashing ten thousand entries at once would hold up the
/// screen.
TreeEdge& Book::Inside::edge_before(std::int64_t number, std::uint64_t seq)
{
    const auto [at, fresh] = edges.try_emplace(number);
    TreeEdge& edge         = at->second;
    if (fresh) edge = edge_of(ledger, number);
    if (edge.size() + 1 < seq)
        (void)each_leaf(ledger, number, edge.size(), seq - 1,
                        [&edge](const Hash& leaf) { edge.append(leaf); });
    return edge;
}

void Book::Inside::grow_tree(const Entry& entry, std::int64_t number)
{
    TreeEdge& edge = edge_before(number, entry.seq);
    if (edge.size() + 1 == entry.seq) edge.append(leaf_hash(std::string_view(entry.line).substr(kBodyAt)));
}

std::optional<Hash> Book::tree_root(const std::string& dev, std::uint64_t size)
{
    Ledger&    ledger = inside_->ledger;
    const auto number = ledger.number_of(dev);
    if (!number || size == 0) return std::nullopt;
    const auto grown = inside_->edges.find(*number);
    TreeEdge   edge  = grown != inside_->edges.end() ? grown->second : edge_of(ledger, *number);
    const bool known = edge.size() <= size;
    if (!known) edge = {};
    if (!each_leaf(ledger, *number, edge.size(), size, [&edge](const Hash& leaf) { edge.append(leaf); }))
        return std::nullopt;
    if (!known || inside_->read_only) return edge.root();
    if (edge_of(ledger, *number).size() < edge.size() && keep_edge(ledger, *number, edge))
        inside_->edges.insert_or_assign(*number, edge); // not kept: it is worked out again next time
    return edge.root();
}

std::optional<std::string> Book::id_at(const std::string& dev, std::uint64_t seq) const
{
    const auto number = inside_->ledger.number_of(dev);
    return number ? inside_->ledger.id_at(*number, seq) : std::nullopt;
}

Result<std::vector<Book::Proof>> Book::prove(const std::string& dev, std::span<const std::uint64_t> seqs,
                                             std::uint64_t size) const
{
    const auto        number = inside_->ledger.number_of(dev);
    std::vector<Hash> leaves;
    const bool        there =
        number &&
        std::all_of(seqs.begin(), seqs.end(),
                    [size](std::uint64_t seq) { return seq >= 1 && seq <= size; }) &&
        each_leaf(inside_->ledger, *number, 0, size, [&leaves](const Hash& leaf) { leaves.push_back(leaf); });
    if (!there) return failure(Fault::not_found, "The book does not hold that many entries of that machine.");
    const HashTree     tree(std::move(leaves));
    std::vector<Proof> proofs;
    proofs.reserve(seqs.size());
    for (const std::uint64_t seq : seqs)
        proofs.push_back({seq, size, tree.beside(seq - 1), tree.root()});
    return proofs;
}

} // namespace engine
