#include "sync/pack_complete.h"

#include "engine/book/json_text.h"
#include "engine/book/shown_order.h"
#include "engine/procedure/facts_codec.h"
#include "sync/names.h"
#include "sync/pack_form.h"
#include "sync/segment.h"

#include <algorithm>
#include <map>
#include <set>

namespace share::pack {

using engine::Entry;

namespace {

/// Ids hashed at most while one looks which of the late entries a review covers; far above what a job has.
constexpr std::size_t kMostHashed = 5'000'000;

/// Which entries of one other machine a review may cover: the first `least` of them surely, up to `most`.
struct Reach {
    std::string dev;
    std::size_t least = 0, most = 0;
};

/// Numbers up to which the machine of a review had read the others, by its witness entries before.
std::map<std::string, std::uint64_t> read_before(const Entry& review, const std::vector<Entry>& witnesses)
{
    std::map<std::string, std::uint64_t> read;
    for (const Entry& entry : witnesses) {
        if (entry.dev != review.dev || entry.seq >= review.seq) continue;
        const auto seq = entry.body().find("seq");
        if (seq == entry.body().end() || !seq->is_number_unsigned()) continue;
        std::uint64_t& up_to = read[engine::text_in(entry.body(), "dev")];
        up_to                = std::max(up_to, seq->get<std::uint64_t>());
    }
    return read;
}

class Cover {
  public:
    Cover(const Entry& review, const std::vector<Entry>& shown, const std::vector<Entry>& witnesses)
        : review_(*pack::review_of(review)), shown_(&shown)
    {
        const auto                   read = read_before(review, witnesses);
        std::map<std::string, Reach> others;
        for (const Entry& entry : shown) {
            if (entry.dev == review.dev) {
                if (entry.seq < review.seq) take_[entry.dev] = std::max(take_[entry.dev], entry.seq);
                continue;
            }
            Reach& reach = others.try_emplace(entry.dev, Reach{entry.dev}).first->second;
            ++reach.most;
            const auto known = read.find(entry.dev);
            if (known != read.end() && entry.seq <= known->second) ++reach.least;
            seqs_[entry.dev].push_back(entry.seq);
        }
        for (auto& [dev, seqs] : seqs_)
            std::sort(seqs.begin(), seqs.end());
        for (const auto& [dev, reach] : others)
            reach_.push_back(reach);
    }

    /// What a machine has read of another is always its first entries, so few choices are to be tried.
    [[nodiscard]] bool fits() { return tries(0); }
    /// Once it fits: by machine, its entries up to here are covered.
    [[nodiscard]] const std::map<std::string, std::uint64_t>& reach() const { return take_; }

  private:
    bool tries(std::size_t at)
    {
        if (at == reach_.size()) return fits_now();
        const Reach& reach = reach_[at];
        for (std::size_t covered = reach.most + 1; covered-- > reach.least;) {
            take_[reach.dev] = covered == 0 ? 0 : seqs_[reach.dev][covered - 1];
            if (tries(at + 1)) return true;
            if (hashed_ > kMostHashed) return false;
        }
        return false;
    }
    bool fits_now()
    {
        std::vector<Entry> covered;
        for (const Entry& entry : *shown_) {
            const auto up_to = take_.find(entry.dev);
            if (up_to != take_.end() && entry.seq <= up_to->second) covered.push_back(entry);
        }
        if (covered.size() != review_.count) return false;
        hashed_ += covered.size();
        return engine::root_of(covered) == review_.root;
    }

    Review                                            review_;
    const std::vector<Entry>*                         shown_;
    std::map<std::string, std::uint64_t>              take_; ///< by machine: its entries up to here
    std::map<std::string, std::vector<std::uint64_t>> seqs_;
    std::vector<Reach>                                reach_;
    std::size_t                                       hashed_ = 0;
};

std::string counted(std::size_t count, const char* what)
{
    return std::to_string(count) + " " + what + (count == 1 ? "y" : "ies");
}

constexpr std::size_t kMostRuns = 8; ///< of numbers, in one sentence

/// "entries 12 to 14 of machine 0123456789abcdef, entry 3 of machine ...": what no review covers.
std::string later_text(const std::vector<Entry>& shown, const std::map<std::string, std::uint64_t>& reach,
                       const Entry& last)
{
    std::map<std::string, std::set<std::uint64_t>> later;
    for (const Entry& entry : shown) {
        const auto covered = reach.find(entry.dev);
        const bool here    = covered != reach.end() && entry.seq <= covered->second;
        if (!here && entry.id != last.id) later[entry.dev].insert(entry.seq);
    }
    std::string text;
    std::size_t runs = 0;
    for (const auto& [dev, seqs] : later)
        for (auto at = seqs.begin(); at != seqs.end();) {
            const std::uint64_t first = *at;
            std::uint64_t       end   = first;
            while (++at != seqs.end() && *at == end + 1)
                ++end;
            if (++runs > kMostRuns) return text + " and more";
            text +=
                (text.empty() ? "" : ", ") + entries_text(first, end) + " of machine " + device_folder(dev);
        }
    return text;
}

std::string name_of(const Entry& review)
{
    return std::string(review.said.kind == engine::kind::countersign ? "countersignature" : "return") +
           " by badge " + review.said.actor + " (entry " + std::to_string(review.seq) + " of machine " +
           device_folder(review.dev) + ")";
}

} // namespace

JobCompleteness completeness_of(const std::string& job, std::vector<Entry> of_job,
                                const std::vector<Entry>& witnesses)
{
    JobCompleteness                      found{job};
    const std::vector<Entry>             shown = engine::in_shown_order(std::move(of_job));
    const Entry*                         last  = nullptr;
    std::map<std::string, std::uint64_t> reach; // of the last review
    for (const Entry& entry : shown) {
        const auto review = pack::review_of(entry);
        if (!review) continue;
        Cover cover(entry, shown, witnesses);
        if (!cover.fits()) {
            found.broken = true;
            found.sentence =
                "Job " + job + ": the " + name_of(entry) + " covers " + counted(review->count, "entr") +
                ", and those in the pack are not the same: some were left out, or are not theirs.";
            return found;
        }
        last          = &entry;
        reach         = cover.reach();
        found.covered = review->count;
    }
    found.later = shown.size() - found.covered - (last == nullptr ? 0U : 1U);
    if (last == nullptr) {
        found.sentence = "Job " + job +
                         ": not proven complete, for nobody has countersigned or returned it; " +
                         counted(shown.size(), "entr") + " are here.";
        return found;
    }
    found.proven   = true;
    found.sentence = "Job " + job + ": complete as it stood at the " + name_of(*last) + ", " +
                     counted(found.covered, "entr") + "; ";
    found.sentence += found.later == 0
                          ? "none came later that is here."
                          : counted(found.later, "entr") + " came later (" + later_text(shown, reach, *last) +
                                "), of which only what is here is proved.";
    return found;
}

} // namespace share::pack
