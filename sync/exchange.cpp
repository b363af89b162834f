#include "sync/exchange.h"

#include "sync/inside.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace share {
namespace {

constexpr std::size_t kPhotosAtOnce = 500; ///< compared in one piece: a frame of the screen waits for it

} // namespace

Exchange::Inside::Inside(engine::Book& the_book, const engine::Clock& time)
    : book(&the_book), clock(&time), devid(device_folder(the_book.device()))
{
}

void Exchange::Inside::stop(engine::Error why)
{
    error = std::move(why);
    phase = Phase::over;
}

Work Exchange::Inside::work(Work::Task task, std::string what) const
{
    Work made;
    made.task  = task;
    made.what  = std::move(what);
    made.devid = devid;
    return made;
}

std::optional<Work> Exchange::Inside::list_work()
{
    if (std::exchange(at_piece, true)) return std::nullopt;
    return work(Work::Task::list, "looking into the folder");
}

void Exchange::Inside::know_machines()
{
    for (const auto& known : book->machines()) {
        Machine& machine = machines[device_folder(known.dev)];
        machine.farthest = std::max(machine.farthest, known.last_seq);
        if (known.branch.empty())
            machine = {known.dev, known.name, known.last_seq, known.last_id, machine.farthest};
    }
}

void Exchange::Inside::take_listing(Listing found)
{
    listing        = std::make_shared<const Listing>(std::move(found));
    report.begun   = !listing->begun;
    report.foreign = listing->foreign;
    report.files   = listing->files;
    left_over.assign(listing->left_over.begin(), listing->left_over.end());
    know_machines();
    know_refusals();
}

std::optional<Work> Exchange::Inside::tidy_work()
{
    if (left_over.empty()) return std::nullopt;
    Work made  = work(Work::Task::tidy, "tidying the folder");
    made.paths = {std::move(left_over.front())};
    left_over.pop_front();
    return made;
}

std::optional<Work> Exchange::Inside::compare_work()
{
    if (!std::exchange(at_piece, true)) {
        const bool again = phase == Phase::compare_again;
        if (again && report.entries_in == 0 && own_last() == own_checked) return std::nullopt;
        own_checked           = own_last();
        report.photos_waiting = 0;
        photos_wanted.clear();
        compared.clear();
    }
    Work made  = work(Work::Task::compare, "comparing photos");
    made.named = book->photos_cared_for(compared, kPhotosAtOnce);
    if (made.named.empty()) return std::nullopt;
    compared     = made.named.back();
    made.photos  = book->photos();
    made.listing = listing;
    return made;
}

/// Names of files read, some in one transaction.
std::optional<Work> Exchange::Inside::remember_work()
{
    if (to_remember.empty()) return std::nullopt;
    constexpr std::size_t    kAtOnce = 64;
    std::vector<std::string> names;
    for (; !to_remember.empty() && names.size() < kAtOnce; to_remember.pop_front())
        if (!book->seen_file(to_remember.front())) names.push_back(to_remember.front());
    if (names.empty()) return remember_work();
    if (engine::Status marked = book->mark_seen(names); !marked) {
        stop(marked.error());
        return std::nullopt;
    }
    return work(Work::Task::remember, "noting what was read");
}

std::optional<Work> Exchange::Inside::piece_of_phase()
{
    switch (phase) {
    case Phase::list:
        return list_work();
    case Phase::plant:
        return plant_work();
    case Phase::tidy:
        return tidy_work();
    case Phase::roster:
        return roster_work();
    case Phase::own:
        if (!std::exchange(at_piece, true) && listing->machines.count(devid) > 0) machines_in = {devid};
        return machines_work();
    case Phase::renew:
        renew_key();
        return std::nullopt;
    case Phase::renew_again:
        if (replaced_elsewhere) renew_key();
        return std::nullopt;
    case Phase::compare:
    case Phase::compare_again:
        return compare_work();
    case Phase::send:
    case Phase::send_rest:
        return send_work();
    case Phase::others:
        if (!std::exchange(at_piece, true))
            for (const auto& [other, files] : listing->machines)
                if (other != devid) machines_in.push_back(other);
        return machines_work();
    case Phase::fetch:
        return photo_in_work();
    case Phase::tell:
        tell_state();
        return std::nullopt;
    case Phase::make_room:
        return room_work();
    case Phase::over:
        break;
    }
    return std::nullopt;
}

std::optional<Work> Exchange::Inside::next()
{
    while (phase != Phase::over) {
        auto piece = remember_work();
        if (!piece && phase != Phase::over) piece = piece_of_phase();
        if (piece) {
            current = *piece;
            ++done;
            all = std::max(all, done + left_over.size() + photos_out.size() + segments_in.size() +
                                    photos_in.size() + to_remember.size() + machines_in.size());
            return piece;
        }
        if (phase == Phase::over || !to_remember.empty()) continue;
        at_piece        = false;
        phase           = static_cast<Phase>(static_cast<int>(phase) + 1);
        report.finished = phase == Phase::over;
        if (report.finished && kept_back) stop(*std::exchange(kept_back, std::nullopt));
    }
    return std::nullopt;
}

void Exchange::Inside::absorb(Done what)
{
    if (phase == Phase::over) return;
    if (what.trouble) return stop(*std::move(what.trouble));
    switch (current.task) {
    case Work::Task::list:
        return take_listing(std::move(what.listing));
    case Work::Task::compare:
        for (std::string& sha256 : what.to_send)
            if (photos_sent.insert(sha256).second) photos_out.push_back(std::move(sha256));
        std::move(what.to_fetch.begin(), what.to_fetch.end(), std::back_inserter(photos_wanted));
        report.photos_waiting += what.lacking;
        return;
    case Work::Task::send:
        return absorb_sent(what);
    case Work::Task::send_photo:
        return absorb_photo_sent(what);
    case Work::Task::fetch_segment:
        return absorb_segment(what);
    case Work::Task::fetch_photo:
        return absorb_photo(what);
    case Work::Task::fetch_text:
        if (phase == Phase::plant) return absorb_plant(what);
        return phase == Phase::roster ? absorb_statement(what) : absorb_head(what);
    case Work::Task::prove_photo:
        return absorb_proved(what);
    case Work::Task::enter:
        if (entering) enter_part();
        return;
    case Work::Task::tidy:
    case Work::Task::remember:
        return;
    }
}

Exchange::Exchange(engine::Book& book, const engine::Clock& clock)
    : inside_(std::make_unique<Inside>(book, clock))
{
}
Exchange::Exchange(Exchange&&) noexcept            = default;
Exchange& Exchange::operator=(Exchange&&) noexcept = default;
Exchange::~Exchange()                              = default;

std::optional<Work> Exchange::next()
{
    return inside_->next();
}

void Exchange::absorb(Done done)
{
    inside_->absorb(std::move(done));
}

const Report& Exchange::report() const
{
    return inside_->report;
}

const std::optional<engine::Error>& Exchange::error() const
{
    return inside_->error;
}

std::size_t Exchange::done() const
{
    return inside_->done;
}

std::size_t Exchange::all() const
{
    return inside_->all;
}

engine::Result<Report> exchange(engine::Book& book, Folder& folder, const engine::Clock& clock,
                                const ExchangeOptions& options)
{
    Exchange pass(book, clock);
    while (const auto work = pass.next()) {
        pass.absorb(perform(*work, folder, options.cancel));
        if (options.cancel != nullptr && *options.cancel) break;
        if (options.progress && !options.progress(pass.done(), pass.all(), work->what)) break;
    }
    if (pass.error()) return engine::Failure{*pass.error()};
    return pass.report();
}

} // namespace share
