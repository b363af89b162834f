// What the screen feels while a shift's record comes in: frame times of the real app.
#include "sync/disk_folder.h"
#include "sync/exchange.h"

#include <algorithm>
#include <thread>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"
#include "tests/bench/history.h"
#include "tests/engine/book/jpeg.h"

namespace bench {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

constexpr std::size_t kEntries  = 10'000;
constexpr std::size_t kPhotos   = 500;
constexpr double      kFrame_ms = 16.0;
constexpr auto        kTick     = 16ms;
constexpr auto        kLongest  = 300s;

/// The folder as another machine leaves it: sent by a real exchange from a book that took the entries in.
fs::path folder_of_a_shift(const fs::path& folder, const fs::path& demo)
{
    const auto clock = engine::system_clock();
    const auto share = folder / "shift";
    fs::create_directories(share);
    History history(demo, 1, clock->now().wall_ms);
    auto    office = engine::Book::open(folder / "office.book", *clock, {.machine_name = "T-09"});
    if (!office) give_up(office.error().message);
    std::vector<std::string> photos;
    for (std::size_t i = 0; i < kPhotos; ++i) {
        const auto kept = office->photos().keep(
            picture(640, 480 + 8 * static_cast<int>(i / 250), static_cast<unsigned char>(i % 250)));
        if (!kept) give_up(kept.error().message);
        photos.push_back(kept->sha256);
    }
    history.use_photos(photos);
    std::vector<engine::Draft> drafts;
    while (office->size() < kEntries) { // said again by the office's own machine, so that it sends them
        drafts.clear();
        for (const engine::Entry& entry : history.next_job())
            if (entry.said.kind != engine::kind::genesis) drafts.push_back(entry.said);
        if (const auto kept = office->append_all(drafts); !kept) give_up(kept.error().message);
    }
    auto place = share::DiskFolder::open(share);
    if (!place) give_up(place.error().message);
    if (const auto sent = share::exchange(*office, *place, *clock); !sent) give_up(sent.error().message);
    return share;
}

struct Frames {
    std::vector<double> times;
    double              seconds = 0;
};

/// Draws a frame each 16 ms, as a screen does, until nothing more comes in.
Frames receive(const fs::path& book, const fs::path& share, bool raster)
{
    Glass  glass(book, raster, share);
    Frames frames;
    glass.frames(3);
    const auto start = Steady::now();
    bool       begun = false;
    while (Steady::now() - start < kLongest) {
        const auto before = Steady::now();
        (void)glass.shell().poll(0ms);
        glass.frame();
        frames.times.push_back(ms_since(before));
        const bool running = glass.app().sender().glance().running;
        begun              = begun || running;
        if (begun && !running) break;
        std::this_thread::sleep_until(before + kTick);
    }
    frames.seconds = ms_since(start) / 1000;
    if (glass.book().size() < kEntries) give_up("the entries did not come in");
    if (!glass.app().sender().glance().trouble.empty()) give_up(glass.app().sender().glance().trouble);
    return frames;
}

bool tell_frames(const Frames& frames, const std::string& how)
{
    const Spread spread = spread_of(frames.times);
    const auto   late =
        std::count_if(frames.times.begin(), frames.times.end(), [](double t) { return t > kFrame_ms; });
    tell("time until all is in", frames.seconds, "s");
    tell("frames", static_cast<double>(frames.times.size()), "");
    tell("frames over 16 ms", static_cast<double>(late), "");
    tell("p50, " + how, spread.p50_ms, "ms");
    tell("longest, " + how, spread.max_ms, "ms");
    return show({"p99, " + how, spread.p99_ms, "ms", kFrame_ms});
}

} // namespace

bool frames_while_receiving(const fs::path& folder)
{
    heading("frames of the app while 10 000 entries and 500 photos come in");
    const fs::path demo  = demo_book(folder / "frames.book", 2);
    const fs::path share = folder_of_a_shift(folder, demo);
    bool           good  = true;
    for (const bool raster : {false, true}) {
        const fs::path book = demo_book(folder / (raster ? "seen.book" : "blind.book"), 0);
        good &= tell_frames(receive(book, share, raster),
                            raster ? "1280x800 drawn by the CPU" : "no pixels drawn");
    }
    return good;
}

} // namespace bench
