// Other machines' entries, and how far the own ones have got.
#include "engine/book/inside.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace engine {
namespace {

constexpr std::int64_t kFutureAllowed = 15 * 60 * 1000; ///< a received clock further ahead does not push ours

struct Chain {
    std::int64_t number = 0;
    Tail         tail;
    std::string  name;
};

Failure reads_only(const std::filesystem::path& file)
{
    return failure(Fault::locked, "The book " + file.filename().string() +
                                      " was opened for reading only; nothing can be added to it here.");
}

Failure fork(const Chain& chain, const Entry& entry)
{
    return failure(Fault::conflict,
                   "Two different entries are signed as " +
                       book_parts::place_name(chain.name, entry.dev, entry.seq) +
                       ": one identity is used on two machines; both are kept where they are, "
                       "call the supervisor.");
}

Status follows(const Chain& chain, const Entry& entry)
{
    const std::string where = book_parts::place_name(chain.name, entry.dev, entry.seq);
    if (entry.seq != chain.tail.seq + 1)
        return failure(Fault::corrupt, "Entries " + std::to_string(chain.tail.seq + 1) + " to " +
                                           std::to_string(entry.seq - 1) + " of " +
                                           (chain.name.empty() ? entry.dev.substr(0, 16) : chain.name) +
                                           " are missing before " + where +
                                           "; they come with a later exchange.");
    if (entry.prev != chain.tail.id)
        return failure(Fault::corrupt,
                       "The chain is broken at " + where + ": it does not follow the entry before it.");
    if (entry.seq == 1 && entry.said.kind != kind::genesis)
        return failure(Fault::corrupt,
                       "The chain is broken at " + where + ": the first entry does not name its machine.");
    if (std::tie(entry.hlc_ms, entry.hlc_c) <= std::tie(chain.tail.hlc_ms, chain.tail.hlc_c) && entry.seq > 1)
        return failure(Fault::corrupt,
                       "The chain is broken at " + where + ": its clock runs behind the entry before it.");
    return Unit{};
}

Status is_sound(const Entry& entry, const std::string& plant)
{
    constexpr std::size_t kBodyAt = 129; // behind signature and space
    if (entry.line.size() <= kBodyAt || hex(sha256(std::string_view(entry.line).substr(kBodyAt))) != entry.id)
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

    [[nodiscard]] Result<Chain*> chain_of(const std::string& dev)
    {
        if (const auto at = chains_.find(dev); at != chains_.end()) return &at->second;
        const auto number = ledger_->number_for(dev);
        if (!number) return number.failure();
        Chain chain{*number, ledger_->tail_of(*number), ledger_->name_of(*number)};
        return &chains_.emplace(dev, std::move(chain)).first->second;
    }

    /// True when it was new. Faults: conflict, corrupt.
    [[nodiscard]] Result<bool> take(const Entry& entry)
    {
        const auto chain = chain_of(entry.dev);
        if (!chain) return chain.failure();
        Chain& at = **chain;
        if (entry.seq <= at.tail.seq) {
            if (ledger_->id_at(at.number, entry.seq) == entry.id) return false;
            return fork(at, entry);
        }
        if (Status fits = follows(at, entry); !fits) return fits.failure();
        if (Status put = ledger_->insert(entry, at.number); !put) return put.failure();
        at.tail = {entry.seq, entry.id, entry.hlc_ms, entry.hlc_c};
        if (entry.seq == 1) at.name = ledger_->name_of(at.number);
        return true;
    }

  private:
    Ledger*                      ledger_;
    std::map<std::string, Chain> chains_;
};

} // namespace

Result<int> Book::take_in(const std::vector<Entry>& entries)
{
    if (inside_->read_only) return reads_only(inside_->file);
    const std::int64_t        latest = inside_->clock->now().wall_ms + kFutureAllowed;
    auto                      remote = std::make_pair(inside_->remote_ms, inside_->remote_c);
    std::vector<const Entry*> fresh;
    {
        Transaction transaction(inside_->ledger.db());
        if (!transaction.status()) return transaction.status().failure();
        Intake intake(inside_->ledger);
        for (const Entry& entry : entries) {
            if (Status sound = is_sound(entry, inside_->plant); !sound) return sound.failure();
            const auto taken = intake.take(entry);
            if (!taken) return taken.failure();
            if (!*taken) continue;
            fresh.push_back(&entry);
            if (entry.hlc_ms <= latest) remote = std::max(remote, std::make_pair(entry.hlc_ms, entry.hlc_c));
        }
        if (fresh.empty()) return 0;
        if (Status set = inside_->ledger.set_mark("remote_ms", remote.first); !set) return set.failure();
        if (Status set = inside_->ledger.set_mark("remote_c", remote.second); !set) return set.failure();
        if (Status done = transaction.commit(); !done) return done.failure();
    }
    std::tie(inside_->remote_ms, inside_->remote_c) = remote;
    for (const Entry* entry : fresh) {
        const bool own = entry->dev == inside_->device; // comes back after the book was made anew
        inside_->remember(*entry, own);
        if (own) inside_->own.add(inside_->ledger, {entry, 1});
    }
    if (inside_->size) *inside_->size += fresh.size();
    return static_cast<int>(fresh.size());
}

std::uint64_t Book::published_seq() const
{
    return static_cast<std::uint64_t>(inside_->ledger.mark("published"));
}

Status Book::mark_published(std::uint64_t seq)
{
    if (inside_->read_only) return reads_only(inside_->file);
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

bool Book::seen_file(const std::string& name) const
{
    return inside_->ledger.seen(name);
}

Status Book::mark_seen(const std::string& name)
{
    if (inside_->read_only) return reads_only(inside_->file);
    return inside_->ledger.set_seen(name);
}

} // namespace engine
