// Many lines at once: each thread opens a run of them.
#include "engine/book/codec.h"

#include <algorithm>
#include <future>
#include <iterator>
#include <system_error>
#include <thread>

namespace engine {
namespace {

using Lines  = std::span<const std::string_view>;
using Opened = std::vector<Result<Entry>>;

constexpr std::size_t kWorthAThread = 32; ///< lines: 2 ms, far more than it takes to start one
constexpr unsigned    kMostThreads  = 4;

/// One core stays with the screen where there are more than two.
unsigned threads_to_spare()
{
    const unsigned cores = std::thread::hardware_concurrency();
    return std::clamp(cores > 2 ? cores - 1 : cores, 1U, kMostThreads);
}

Opened open_run(Lines lines)
{
    Opened opened;
    opened.reserve(lines.size());
    for (const std::string_view line : lines)
        opened.push_back(open_line(line));
    return opened;
}

} // namespace

Opened open_lines(Lines lines, unsigned threads)
{
    const std::size_t                wanted = threads == 0 ? threads_to_spare() : threads;
    const std::size_t                runs = std::clamp<std::size_t>(lines.size() / kWorthAThread, 1, wanted);
    const std::size_t                length = (lines.size() + runs - 1) / runs;
    std::vector<std::future<Opened>> others;
    std::size_t                      begun = std::min(length, lines.size()); // the first run is this thread's
    try {
        for (; begun < lines.size(); begun += std::min(length, lines.size() - begun))
            others.push_back(std::async(std::launch::async, open_run,
                                        lines.subspan(begun, std::min(length, lines.size() - begun))));
    } catch (const std::system_error&) {
        // No further thread to be had: what is not begun is done here, at the end.
    }
    Opened opened = open_run(lines.first(std::min(length, lines.size())));
    opened.reserve(lines.size());
    const auto append = [&opened](Opened more) {
        std::move(more.begin(), more.end(), std::back_inserter(opened));
    };
    for (std::future<Opened>& other : others)
        append(other.get());
    append(open_run(lines.subspan(begun)));
    return opened;
}

} // namespace engine
