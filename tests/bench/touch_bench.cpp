// From a finger's lifting to the durable entry, and to the picture that shows it, through the real app.
#include <string>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"

namespace bench {
namespace {

constexpr int    kTaps      = 240;
constexpr double kTouch_ms  = 50.0;
constexpr int    kMostWaits = 20; ///< frames until a touch must have been taken

struct Touches {
    Spread durable, shown;
};

Touches tap_choices(const std::filesystem::path& book, bool raster)
{
    Glass glass(book, raster);
    glass.frames(3);
    glass.press("job.2219");
    glass.press("main"); // coming back: carry on
    std::vector<double> durable, shown;
    for (int i = 0; i < kTaps; ++i) {
        const std::size_t before = glass.book().size();
        glass.frames(4); // at rest before the next tap
        glass.touch(i % 2 == 0 ? "choice.kit.missing" : "choice.kit.all_there");
        const auto start = Steady::now();
        int        waits = 0;
        double     kept  = 0;
        for (; glass.book().size() == before && waits < kMostWaits; ++waits) {
            glass.frame();
            kept = ms_since(start);
        }
        if (glass.book().size() == before) give_up("a tap on a choice left no entry");
        glass.frame();
        durable.push_back(kept);
        shown.push_back(ms_since(start));
    }
    return {spread_of(durable), spread_of(shown)};
}

} // namespace

bool touch_to_entry(const std::filesystem::path& folder)
{
    heading("from touch up to durable entry, 240 choices tapped in the app");
    const auto book = demo_book(folder / "touch.book", 0);
    play(book,
         {"tap job.2219", "tap main", "tap cell.lock_number", "type 4471", "tap key.enter", "photo",
          "tap main", "tap choice.unit.right", "tap choice.sheet.same", "tap main", "expect Check the kit"});
    const Touches blind = tap_choices(book, false), seen = tap_choices(book, true);
    tell("p50, no pixels drawn", blind.durable.p50_ms, "ms");
    bool good = show({"p99, no pixels drawn", blind.durable.p99_ms, "ms", kTouch_ms});
    tell("p50, 1280x800 drawn by the CPU", seen.durable.p50_ms, "ms");
    good &= show({"p99, 1280x800 drawn by the CPU", seen.durable.p99_ms, "ms", kTouch_ms});
    tell("p50 to the end of the frame that shows it, by the CPU", seen.shown.p50_ms, "ms");
    tell("p99 to the end of the frame that shows it, by the CPU", seen.shown.p99_ms, "ms");
    return good;
}

} // namespace bench
