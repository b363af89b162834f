// From a finger's lifting to the durable entry, and to the picture that shows it, through the real app.
#include <string>
#include <vector>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"

namespace bench {
namespace {

constexpr int    kTaps      = 240;
constexpr double kTouch_ms  = 50.0;
constexpr int    kMostWaits = 20; ///< frames until a touch must have been taken

struct Touches {
    std::vector<double> durable, shown;
    int                 frames = 0; ///< drawn until the entry was durable, the same for every tap
};

/// `pixels_until`: frames of a tap that are really drawn. An entry is durable before its frame goes to the
/// glass, so a time to the entry is taken without the pixels of that last frame, and with those of all before
/// it.
Touches tap_choices(const std::filesystem::path& book, int pixels_until)
{
    Glass glass(book, pixels_until > 0);
    glass.frames(3);
    glass.press("job.2219");
    glass.press("main"); // coming back: carry on
    Touches result;
    for (int i = 0; i < kTaps; ++i) {
        const std::size_t before = glass.book().size();
        glass.shell().set_raster(pixels_until > 0);
        glass.frames(4); // at rest before the next tap
        glass.touch(i % 2 == 0 ? "choice.kit.missing" : "choice.kit.all_there");
        const auto start = Steady::now();
        int        drawn = 0;
        while (glass.book().size() == before && drawn < kMostWaits) {
            glass.shell().set_raster(drawn < pixels_until);
            glass.frame();
            ++drawn;
        }
        if (glass.book().size() == before) give_up("a tap on a choice left no entry");
        result.durable.push_back(ms_since(start));
        if (result.frames != 0 && drawn != result.frames) give_up("taps took different numbers of frames");
        result.frames = drawn;
        glass.frame();
        result.shown.push_back(ms_since(start));
    }
    return result;
}

} // namespace

bool touch_to_entry(const std::filesystem::path& folder)
{
    heading("from touch up to durable entry, 240 choices tapped in the app");
    const auto book = demo_book(folder / "touch.book", 0);
    play(book,
         {"tap job.2219", "tap main", "tap cell.lock_number", "type 4471", "tap key.enter", "photo",
          "tap main", "tap choice.unit.right", "tap choice.sheet.same", "tap main", "expect Check the kit"});
    const Touches blind   = tap_choices(book, 0);
    const Touches durable = tap_choices(book, blind.frames - 1);
    const Touches shown   = tap_choices(book, kMostWaits);
    const Spread  unseen = spread_of(blind.durable), kept = spread_of(durable.durable),
                 seen = spread_of(shown.shown);
    tell("p50, no pixels drawn", unseen.p50_ms, "ms");
    bool good = show({"p99, no pixels drawn", unseen.p99_ms, "ms", kTouch_ms});
    tell("p50, 1280x800 drawn by the CPU", kept.p50_ms, "ms");
    good &= show({"p99, 1280x800 drawn by the CPU", kept.p99_ms, "ms", kTouch_ms});
    tell("p50 to the end of the frame that shows it, by the CPU", seen.p50_ms, "ms");
    tell("p99 to the end of the frame that shows it, by the CPU", seen.p99_ms, "ms");
    return good;
}

} // namespace bench
