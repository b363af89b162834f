// Start and memory with a book of a busy year.
#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"

namespace bench {
namespace {

constexpr std::size_t kEntries     = 10'000;
constexpr double      kStart_s     = 0.5;
constexpr double      kResident_mb = 200;
constexpr int         kStarts      = 5;
constexpr int         kShifts      = 85;
constexpr int         kPhotos      = 12;

} // namespace

const std::filesystem::path& Ground::year_book()
{
    if (!year_.empty()) return year_;
    heading("a book of 10 000 entries");
    const auto file  = demo_book(folder / "year.book", kShifts);
    const auto clock = engine::system_clock();
    const auto book  = engine::Book::open(file, *clock, {}, false);
    if (!book) give_up(book.error().message);
    tell("entries in the book", static_cast<double>(book->size()), "");
    tell("photos in the book", static_cast<double>(book->photo_hashes().size()), "");
    if (book->size() < kEntries) give_up("the demo book is too small");
    return year_ = file;
}

bool start_to_frame(const std::filesystem::path& book)
{
    std::vector<double> opened, usable;
    for (int i = 0; i < kStarts; ++i) {
        const bool made = apart([&] { // warms the file cache the same for every start
            Glass glass(book, true);
            return true;
        });
        if (!made) give_up("the app does not open the book");
        const auto start = Steady::now();
        Glass      glass(book, true);
        opened.push_back(ms_since(start) / 1000);
        glass.frame();
        if (glass.app().ledger().target("job.2219") == nullptr) give_up("the first frame shows no job");
        usable.push_back(ms_since(start) / 1000);
    }
    tell("letters baked, words, procedure, book opened", median(opened), "s");
    return show({"start to first usable frame, 1280x800 by the CPU", median(usable), "s", kStart_s});
}

bool memory_with_photos(const std::filesystem::path& book)
{
    return apart([&] {
        {
            Glass glass(book, true);
            glass.frames(3);
            tell("resident after the first frame", resident().now_mb, "MB");
        }
        Glass glass(book, true);
        glass.frames(3);
        glass.press("job.2224"); // not begun yet: its first step wants a photo
        glass.press("main");
        for (int i = 0; i < kPhotos; ++i) { // a new photo each time: the one before is told by its thumbnail
            for (const char* name : {"photo", "main", "main"}) {
                for (int waits = 0; glass.app().ledger().target(name) == nullptr && waits < 60; ++waits)
                    glass.frames(1);
                glass.press(name);
            }
            glass.frames(2);
        }
        tell("resident after 12 photos taken and shown", resident().now_mb, "MB");
        return show(
            {"highest resident, 10 000 entries and 12 photos", resident().most_mb, "MB", kResident_mb});
    });
}

} // namespace bench
