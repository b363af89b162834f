#include "field/app/sender.h"

#include "engine/book/upkeep.h"
#include "field/app/worker.h"
#include "sync/background.h"
#include "sync/disk_folder.h"
#include "sync/exchange.h"

#include <algorithm>
#include <chrono>
#include <map>

namespace field::app {

namespace {

/// Probing a folder that is not there is cheap, but an unmounted network drive can take long: seldom is
/// enough.
constexpr std::int64_t kProbeEveryMs = 2'000;
/// At most this many pieces are absorbed in one frame, so that the frame stays short.
constexpr int kPiecesAFrame = 4;
/// And none is begun once so much of the frame is gone.
constexpr std::chrono::milliseconds kShareOfAFrame{3};

/// What this machine said about one job.
struct OwnJob {
    std::vector<std::uint64_t> seqs; ///< rising
    int                        photos    = 0;
    std::int64_t               newest_ms = 0;

    [[nodiscard]] int so_far(std::uint64_t seq) const
    {
        return static_cast<int>(std::upper_bound(seqs.begin(), seqs.end(), seq) - seqs.begin());
    }
};

} // namespace

struct Sender::Inside {
    Inside(engine::Book& b, const engine::Clock& c, std::filesystem::path s)
        : book(&b), clock(&c), shared(std::move(s)), background(c)
    {
    }

    engine::Book*                          book;
    const engine::Clock*                   clock;
    std::filesystem::path                  shared;
    share::Background                      background;
    std::optional<share::Exchange>         exchange;
    std::optional<share::DiskFolder>       folder; ///< touched by the worker while a piece is out, else by us
    std::optional<share::Done>             done;   ///< brought back
    bool                                   probed = false, there = false;
    std::string                            probe_says, doing;
    std::int64_t                           next_probe_ms = 0;
    screens::ExchangeGlance                shown;
    std::uint64_t                          counted_version = ~0ULL, counted_published = ~0ULL;
    int                                    waiting       = 0;
    mutable std::uint64_t                  lines_version = ~0ULL, lines_published = ~0ULL;
    mutable std::vector<screens::SendLine> lines;
    mutable std::map<std::string, OwnJob>  own; ///< by number of the job
    mutable std::uint64_t                  own_counted = 0;
    mutable std::string                    own_device;
    Worker                                 worker; ///< last: stops before what it works on goes

    void probe();
    void give_next();
    void take_probe();
    void finish();
    void count();
    void count_own() const;
};

/// Years of entries are counted once, afterwards what is new.
void Sender::Inside::count_own() const
{
    if (own_device != book->device()) {
        own.clear();
        own_counted = 0;
        own_device  = book->device();
    }
    for (const engine::Brief& entry : book->own_briefs(own_counted + 1)) {
        OwnJob& job = own[entry.job];
        job.seqs.push_back(entry.seq);
        job.photos += entry.photo ? 1 : 0;
        job.newest_ms = std::max(job.newest_ms, entry.wall_ms);
        own_counted   = entry.seq;
    }
}

void Sender::Inside::probe()
{
    if (clock->now().mono_ms < next_probe_ms) return;
    next_probe_ms = clock->now().mono_ms + kProbeEveryMs;
    worker.give([this] {
        auto opened = share::DiskFolder::open(shared);
        there       = bool(opened);
        probe_says  = there ? "" : opened.error().message;
        if (there) folder.emplace(std::move(*opened));
        probed = true;
    });
}

void Sender::Inside::take_probe()
{
    probed        = false;
    shown.reached = there;
    if (!there) shown.trouble = probe_says;
    if (!background.due(there)) return;
    background.began();
    shown.trouble.clear();
    shown.set_aside.clear();
    exchange.emplace(*book, *clock);
    give_next();
}

void Sender::Inside::give_next()
{
    auto work = exchange->next();
    if (!work) return finish();
    shown.running = true;
    shown.doing   = work->what;
    shown.done    = static_cast<int>(exchange->done());
    shown.all     = static_cast<int>(exchange->all());
    worker.give([this, piece = std::move(*work), file = book->file()] {
        done = share::perform(piece, *folder, &worker.cancel());
        (void)engine::fold_log(file); // not today: the writer does it at its next commit
    });
}

void Sender::Inside::finish()
{
    const auto& error = exchange->error();
    background.finished(!error);
    shown.running = false;
    shown.doing.clear();
    if (error)
        shown.trouble = error->message;
    else
        shown.last = engine::hour_minute(clock->now().wall_ms, clock->now().tz_min);
    for (const share::Finding& finding : exchange->report().findings)
        if (finding.state == share::State::refused || finding.state == share::State::fork)
            shown.set_aside.push_back(finding.sentence);
    shown.photos_away = static_cast<int>(book->photos_let_go());
    (void)book->tend_space(); // no room for the ballast is told by Book::space
    exchange.reset();
    folder.reset();
    worker.cancel() = false;
}

void Sender::Inside::count()
{
    if (counted_version == book->version() && counted_published == book->published_seq()) return;
    counted_version   = book->version();
    counted_published = book->published_seq();
    waiting           = 0;
    for (const auto& machine : book->machines())
        if (machine.self && machine.last_seq > counted_published)
            waiting = static_cast<int>(machine.last_seq - counted_published);
}

Sender::Sender(engine::Book& book, const engine::Clock& clock, std::filesystem::path shared)
    : inside_(std::make_unique<Inside>(book, clock, std::move(shared)))
{
    inside_->shown.folder_set = !inside_->shared.empty();
    inside_->shown.folder     = inside_->shared.filename().string();
    inside_->count();
}

Sender::~Sender() = default;

void Sender::on_news(std::function<void()> call)
{
    inside_->worker.on_news(std::move(call));
}

void Sender::absorb()
{
    Inside& in = *inside_;
    in.count();
    if (in.shared.empty()) return;
    const auto begun = std::chrono::steady_clock::now();
    for (int piece = 0; piece < kPiecesAFrame && !in.worker.busy(); ++piece) {
        if (std::chrono::steady_clock::now() - begun > kShareOfAFrame) return;
        if (in.probed) {
            in.take_probe();
        } else if (in.done && in.exchange) {
            share::Done done = std::move(*in.done);
            in.done.reset();
            in.exchange->absorb(std::move(done));
            in.give_next();
        } else if (!in.exchange && in.background.wait_ms() == 0) {
            return in.probe();
        } else {
            return;
        }
    }
}

void Sender::news_to_send()
{
    inside_->count();
}

void Sender::send_now()
{
    inside_->background.ask();
    inside_->next_probe_ms = 0;
}

void Sender::cancel()
{
    if (inside_->exchange) inside_->worker.cancel() = true;
}

engine::Status Sender::finish_one()
{
    Inside& in = *inside_;
    if (in.shared.empty())
        return engine::failure(engine::Fault::bad_input, "No shared folder is set; start with --shared DIR.");
    auto folder = share::DiskFolder::open(in.shared);
    if (!folder) return folder.failure();
    const auto report = share::exchange(*in.book, *folder, *in.clock);
    in.count();
    if (!report) return report.failure();
    in.shown.reached = true;
    in.shown.last    = engine::hour_minute(in.clock->now().wall_ms, in.clock->now().tz_min);
    return engine::Unit{};
}

int Sender::to_send() const
{
    return inside_->waiting;
}
screens::ExchangeGlance Sender::glance() const
{
    return inside_->shown;
}

std::vector<screens::SendLine> Sender::lines() const
{
    const Inside& in = *inside_;
    if (in.lines_version == in.book->version() && in.lines_published == in.book->published_seq())
        return in.lines;
    in.lines_version   = in.book->version();
    in.lines_published = in.book->published_seq();
    in.lines.clear();
    in.count_own();
    std::vector<std::pair<std::int64_t, screens::SendLine>> dated;
    const std::uint64_t                                     read_back = in.book->read_back_seq();
    for (const auto& [number, own] : in.own) {
        const engine::Job* const job = in.book->catalogue().job(number);
        if (job == nullptr) continue;
        screens::SendLine line{.job = number + " " + job->title, .photos = own.photos};
        line.entries   = static_cast<int>(own.seqs.size());
        line.read_back = own.so_far(read_back);
        line.in_folder = std::max(own.so_far(in.lines_published) - line.read_back, 0);
        line.here      = line.entries - line.in_folder - line.read_back;
        dated.emplace_back(own.newest_ms, std::move(line));
    }
    std::stable_sort(dated.begin(), dated.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    for (auto& [when, line] : dated)
        in.lines.push_back(std::move(line));
    return in.lines;
}

} // namespace field::app
