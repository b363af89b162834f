#include "engine/book/line_opener.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace engine {
namespace {

constexpr std::size_t kRun         = 32; ///< lines: 2 ms, far more than it takes to hand them over
constexpr unsigned    kMostThreads = 4;

/// One core stays with the screen where there are more than two.
unsigned threads_to_spare()
{
    const unsigned cores = std::thread::hardware_concurrency();
    return std::clamp(cores > 2 ? cores - 1 : cores, 1U, kMostThreads);
}

} // namespace

LineOpener::LineOpener(std::span<const std::string_view> lines, unsigned threads, std::size_t ahead)
    : lines_(lines), runs_((lines.size() + kRun - 1) / kRun), ahead_(ahead)
{
    const std::size_t wanted = threads == 0 ? threads_to_spare() : threads;
    helpers_.reserve(std::min(wanted, runs_)); // nothing may fail once one of them runs
    try {
        for (std::size_t i = 1; i < std::min(wanted, runs_); ++i)
            helpers_.emplace_back([this] { help(); });
    } catch (const std::exception&) {
        // No further thread to be had, or no memory for it: what the others do not open is opened by the one
        // that asks.
    }
}

LineOpener::~LineOpener()
{
    {
        const std::scoped_lock turn(mutex_);
        over_ = true;
    }
    moved_.notify_all();
    for (std::thread& helper : helpers_)
        helper.join();
}

LineOpener::Opened LineOpener::open_run(std::size_t run) const
{
    const auto lines = lines_.subspan(run * kRun, std::min(kRun, lines_.size() - run * kRun));
    Opened     opened;
    opened.reserve(lines.size());
    for (const std::string_view line : lines)
        opened.push_back(open_line(line));
    return opened;
}

/// Opens the run that is next to be begun, without holding the others up.
void LineOpener::open_one(std::unique_lock<std::mutex>& turn)
{
    const std::size_t run = begun_++;
    turn.unlock();
    try {
        Opened opened = open_run(run);
        turn.lock();
        ready_.emplace(run, std::move(opened));
    } catch (...) { // no memory: whoever asks is told
        if (!turn.owns_lock()) turn.lock();
        wrong_ = std::current_exception();
    }
    moved_.notify_all();
}

void LineOpener::help()
{
    std::unique_lock turn(mutex_);
    while (!over_ && wrong_ == nullptr && begun_ < runs_) {
        if (may_begin())
            open_one(turn);
        else
            moved_.wait(turn);
    }
}

LineOpener::Opened LineOpener::next()
{
    std::unique_lock turn(mutex_);
    if (asked_ == runs_) return {};
    for (;;) {
        if (wrong_ != nullptr) std::rethrow_exception(wrong_);
        if (auto found = ready_.extract(asked_)) {
            ++asked_;
            moved_.notify_all();
            return std::move(found.mapped());
        }
        if (may_begin())
            open_one(turn);
        else
            moved_.wait(turn);
    }
}

std::vector<Result<Entry>> open_lines(std::span<const std::string_view> lines, unsigned threads)
{
    std::vector<Result<Entry>> opened;
    opened.reserve(lines.size());
    LineOpener opener(lines, threads, lines.size());
    for (auto run = opener.next(); !run.empty(); run = opener.next())
        std::move(run.begin(), run.end(), std::back_inserter(opened));
    return opened;
}

} // namespace engine
