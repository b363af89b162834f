// Other machines' entries, and how far the own ones have got.
#include "engine/book/inside.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace engine {
namespace {

constexpr std::int64_t kFutureAllowed =
    std::int64_t{15} * 60 * 1000; ///< a received clock further ahead does not push ours

struct Chain {
    std::int64_t number = 0;
    Tail         tail;
    std::string  name;
};

Failure missing(const Chain& chain, const Entry& entry)
{
    return failure(Fault::corrupt,
                   "Entries " + std::to_string(chain.tail.seq + 1) + " to " + std::to_string(entry.seq - 1) +
                       " of " + (chain.name.empty() ? entry.dev.substr(0, 16) : chain.name) +
                       " are missing before " + book_parts::place_name(chain.name, entry.dev, entry.seq) +
                       "; they come with a later exchange.");
}

Status follows(const Chain& chain, const Entry& entry, const Tail& before)
{
    const char* wrong = nullptr;
    if (entry.seq == 1 && entry.said.kind != kind::genesis)
        wrong = ": the first entry does not name its machine.";
    if (std::tie(entry.hlc_ms, entry.hlc_c) <= std::tie(before.hlc_ms, before.hlc_c) && entry.seq > 1)
        wrong = ": its clock runs behind the entry before it.";
    if (wrong == nullptr) return Unit{};
    return failure(Fault::corrupt, "The chain is broken at " +
                                       book_parts::place_name(chain.name, entry.dev, entry.seq) + wrong);
}

Status is_sound(const Entry& entry, const std::string& plant)
{
    constexpr std::size_t kBodyAt = 129; // behind signature and space
    Hash                  named{};
    if (entry.line.size() <= kBodyAt || !bytes_from_hex(entry.id, named) ||
        sha256(std::string_view(entry.line).substr(kBodyAt)) != named)
        return failure(Fault::corrupt, "An entry handed over does not have the hash it is named by.");
    if (entry.plant == plant) return Unit{};
    return failure(Fault::bad_input, "Entry " + std::to_string(entry.seq) + " of " + entry.dev.substr(0, 16) +
                                         " belongs to another plant (" + entry.plant +
                                         "), so it is not taken.");
}

/// One take-in: chains as they stand in the middle of it.
class Intake {
  public:
    explicit Intake(Ledger& ledger) : ledger_(&ledger) {}

    /// Number of the chain it was put into; none when it was there. Faults: corrupt.
    [[nodiscard]] Result<std::optional<std::int64_t>> take(const Entry& entry)
    {
        const auto chain = chain_of(entry.dev);
        if (!chain) return chain.failure();
        Chain& at = **chain;
        if (entry.seq == at.tail.seq + 1 && entry.prev == at.tail.id) return put(at, entry, at.tail);
        if (ledger_->where(entry.id)) return std::optional<std::int64_t>();
        return take_elsewhere(at, entry);
    }

  private:
    [[nodiscard]] Result<Chain*> chain_of(const std::string& dev)
    {
        if (const auto at = chains_.find(dev); at != chains_.end()) return &at->second;
        const auto number = ledger_->number_for(dev);
        if (!number) return number.failure();
        Chain chain{*number, ledger_->tail_of(*number), ledger_->name_of(*number)};
        return &chains_.emplace(dev, std::move(chain)).first->second;
    }

    [[nodiscard]] Result<std::optional<std::int64_t>> put(Chain& at, const Entry& entry, const Tail& before)
    {
        if (Status fits = follows(at, entry, before); !fits) return fits.failure();
        if (Status put = ledger_->insert(entry, at.number); !put) return put.failure();
        at.tail = {entry.seq, entry.id, entry.hlc_ms, entry.hlc_c};
        if (entry.seq == 1) at.name = ledger_->name_of(at.number);
        return std::optional(at.number);
    }

    /// Not the next one of the chain met first: the next one of another branch, the first of a new one, or
    /// nothing that fits.
    [[nodiscard]] Result<std::optional<std::int64_t>> take_elsewhere(const Chain& first, const Entry& entry)
    {
        Chain branch{0, {}, first.name};
        Tail  before;
        if (entry.seq > 1) {
            const auto parent = ledger_->where(entry.prev);
            const bool fits =
                parent && parent->seq + 1 == entry.seq && ledger_->dev_of(parent->number) == entry.dev;
            if (!fits && !parent && entry.seq > first.tail.seq + 1) return missing(first, entry);
            if (!fits)
                return failure(Fault::corrupt, "The chain is broken at " +
                                                   book_parts::place_name(first.name, entry.dev, entry.seq) +
                                                   ": it does not follow the entry before it.");
            before = {parent->seq, entry.prev, parent->hlc_ms, parent->hlc_c};
            if (ledger_->tail_of(parent->number).seq == parent->seq) branch.number = parent->number;
        } else if (entry.prev != std::string(64, '0')) {
            return failure(Fault::corrupt, "The chain is broken at " +
                                               book_parts::place_name(first.name, entry.dev, entry.seq) +
                                               ": a first entry follows none.");
        }
        if (branch.number == 0) {
            const auto number = ledger_->new_branch(entry, first.name);
            if (!number) return number.failure();
            branch.number = *number;
        }
        return put(branch, entry, before);
    }

    Ledger*                      ledger_;
    std::map<std::string, Chain> chains_;
};

} // namespace

Result<int> Book::take_in(const std::vector<Entry>& entries)
{
    const auto taken = receive(entries);
    if (!taken) return taken.failure();
    return taken->fresh;
}

Result<Book::Received> Book::receive(const std::vector<Entry>& entries)
{
    if (inside_->read_only) return book_parts::reads_only(inside_->file);
    const std::int64_t latest = inside_->clock->now().wall_ms + kFutureAllowed;
    auto               remote = std::make_pair(inside_->remote_ms, inside_->remote_c);
    std::vector<std::pair<const Entry*, std::int64_t>> fresh;
    Received                                           received;
    {
        // Not durable before the next own entry is, and no promise rests on it before: the one that says
        // "read back" is such an entry. What is lost until then comes again from the folder.
        Transaction transaction(inside_->ledger.db(), Durable::with_the_next);
        if (!transaction.status()) return transaction.status().failure();
        Intake intake(inside_->ledger);
        for (const Entry& entry : entries) {
            if (Status sound = is_sound(entry, inside_->plant); !sound) return sound.failure();
            if (entry.said.kind == kind::genesis || entry.said.kind == kind::plant)
                if (Status ours = inside_->says_this_plant(entry); !ours) return ours.failure();
            if (Status known = inside_->known_machine(entry.dev); !known) return known.failure();
            const auto taken = intake.take(entry);
            if (!taken) return taken.failure();
            if (!*taken) continue;
            fresh.emplace_back(&entry, **taken);
            if (Status judged = inside_->judge(entry, **taken, &received.set_aside); !judged)
                return judged.failure();
            if (entry.hlc_ms <= latest) remote = std::max(remote, std::make_pair(entry.hlc_ms, entry.hlc_c));
        }
        if (fresh.empty()) return received;
        if (Status set = inside_->ledger.set_mark("remote_ms", remote.first); !set) return set.failure();
        if (Status set = inside_->ledger.set_mark("remote_c", remote.second); !set) return set.failure();
        if (Status done = transaction.commit(); !done) return done.failure();
    }
    std::tie(inside_->remote_ms, inside_->remote_c) = remote;
    for (const auto& [entry, number] : fresh) {
        const bool own = number == inside_->ledger.self(); // comes back after the book was made anew
        inside_->remember(*entry, number);
        inside_->grow_tree(*entry, number);
        if (own) inside_->own.add(inside_->ledger, {entry, 1});
    }
    if (inside_->size) *inside_->size += fresh.size();
    received.fresh = static_cast<int>(fresh.size());
    return received;
}

std::uint64_t Book::published_seq() const
{
    return static_cast<std::uint64_t>(inside_->ledger.mark("published"));
}

Status Book::mark_published(std::uint64_t seq)
{
    if (inside_->read_only) return book_parts::reads_only(inside_->file);
    if (seq > inside_->tail.seq)
        return failure(Fault::out_of_range, "Entry " + std::to_string(seq) +
                                                " cannot be marked as sent: the last one is " +
                                                std::to_string(inside_->tail.seq) + ".");
    if (seq <= published_seq()) return Unit{};
    if (Status set = inside_->ledger.set_mark("published", static_cast<std::int64_t>(seq)); !set) return set;
    ++inside_->version;
    return Unit{};
}

Reach Book::reach(const Entry& entry) const
{
    if (inside_->ledger.witnessed(entry.dev) >= entry.seq) return Reach::read_back;
    if (entry.dev != inside_->device || published_seq() >= entry.seq) return Reach::in_folder;
    return Reach::on_this_machine;
}

std::uint64_t Book::read_back_seq() const
{
    return inside_->ledger.witnessed(inside_->device);
}

std::vector<Brief> Book::own_briefs(std::uint64_t from_seq) const
{
    return inside_->ledger.briefs(inside_->ledger.self(), from_seq);
}

bool Book::seen_file(const std::string& name) const
{
    return inside_->ledger.seen(name);
}

Status Book::mark_seen(const std::string& name)
{
    if (inside_->read_only) return book_parts::reads_only(inside_->file);
    return inside_->ledger.set_seen(name);
}

Status Book::mark_seen(const std::vector<std::string>& names)
{
    if (inside_->read_only) return book_parts::reads_only(inside_->file);
    Transaction transaction(inside_->ledger.db());
    if (!transaction.status()) return transaction.status();
    for (const std::string& name : names)
        if (Status set = inside_->ledger.set_seen(name); !set) return set;
    return transaction.commit();
}

} // namespace engine
