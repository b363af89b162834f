// Which opening of a job counts: FORMAT.md section 4, "A job is what it was when work on it began".
#include "engine/book/catalogue_codec.h"
#include "engine/book/inside.h"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace engine {
namespace {

bool is_readable_opening(const Entry& entry)
{
    Catalogue tried;
    return entry.said.kind == kind::job_open && add_to_catalogue(tried, entry).empty();
}

/// The newest opening before the first deed; before any deed the newest; the first of all where a deed was
/// done by a machine that had heard of none. `of_job`: in shown order.
const Entry* opening_that_counts(const std::vector<Entry>& of_job)
{
    const Entry* counts = nullptr;
    bool         begun  = false;
    for (const Entry& entry : of_job) {
        if (entry.said.kind != kind::job_open) {
            if (counts != nullptr) break;
            begun = true;
        } else if (is_readable_opening(entry)) {
            counts = &entry;
            if (begun) break;
        }
    }
    return counts;
}

} // namespace

void Book::Inside::take_job(const Entry& entry)
{
    const std::string& number = entry.said.job;
    if (job_openings.count(number) > 0) {
        opened_again.insert(number);
        return settle_job(number);
    }
    if (!add_to_catalogue(catalogue, entry).empty()) return; // unreadable: no opening
    job_openings.insert_or_assign(number, Shown(entry.hlc_ms, entry.hlc_c, entry.dev, entry.seq, entry.id));
}

void Book::Inside::settle_job(const std::string& number)
{
    const std::vector<Entry> of_job = ledger.of_job(number);
    const Entry* const       counts = opening_that_counts(of_job);
    if (counts == nullptr) return;
    (void)add_to_catalogue(catalogue, *counts); // read once already
    job_openings.insert_or_assign(number,
                                  Shown(counts->hlc_ms, counts->hlc_c, counts->dev, counts->seq, counts->id));
}

bool Book::has_begun(const std::string& job) const
{
    const auto of_job = inside_->ledger.of_job(job);
    return std::any_of(of_job.begin(), of_job.end(),
                       [](const Entry& entry) { return entry.said.kind != kind::job_open; });
}

std::vector<Entry> Book::openings_that_do_not_count(const std::string& job) const
{
    (void)catalogue();
    if (inside_->opened_again.count(job) == 0) return {};
    std::vector<Entry> others;
    const auto         of_job = inside_->ledger.of_job(job);
    const Entry* const counts = opening_that_counts(of_job);
    bool               begun  = false;
    for (const Entry& entry : of_job) {
        if (entry.said.kind != kind::job_open)
            begun = true;
        else if (counts != nullptr && entry.id != counts->id && entry.body() != counts->body() &&
                 (begun || entry.dev != counts->dev))
            others.push_back(entry);
    }
    return others;
}

} // namespace engine
