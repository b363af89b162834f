#include "engine/book/io.h"
#include "engine/procedure/facts_codec.h"
#include "engine/procedure/workbench.h"

#include "tests/engine/procedure_bench/bench.h"
#include "tests/support/picture.h"
#include "tests/support/real_disk.h"

using namespace engine;

namespace {

/// A disk that refuses photos when it is told to.
class FailingIo final : public support::RealDisk {
  public:
    bool refuse = false;

    Status write_whole(const std::filesystem::path& file, std::span<const unsigned char> bytes) override
    {
        if (refuse && file.extension() == ".jpg") return failure(Fault::no_space, "The disk is full.");
        return RealDisk::write_whole(file, bytes);
    }
};

/// A book with one job of one pillow block, a fitter and a micrometer.
struct Shop {
    support::TempFolder folder;
    support::FakeClock  clock;
    FailingIo           io;
    Book                book;
    Workbench           bench;

    static Book made(const std::filesystem::path& file, const Clock& clock, Io& io)
    {
        BookOptions options;
        options.io = &io;
        auto book  = Book::open(file, clock, options);
        REQUIRE(book.has_value());
        return *std::move(book);
    }

    Shop() : book(made(folder / "shop.book", clock, io)), bench(book, ::bench::procedure(), clock)
    {
        Person fitter;
        fitter.badge = "112";
        REQUIRE(book.append(draft_of(fitter, "401")).has_value());
        for (const auto& [code, unit] : ::bench::demo_units())
            REQUIRE(book.append(draft_of(unit, "401")).has_value());
        REQUIRE(book.append(draft_of(::bench::job_of("SLW-P50-12"), "401")).has_value());
    }

    Result<Kept> act(const Act& act) { return bench.carry_out("1", "112", act); }
};

const std::vector<unsigned char>& jpeg()
{
    static const std::vector<unsigned char> bytes = support::numbered_jpeg(1);
    return bytes;
}

const StepRef kIsolate{"isolate", ""};

} // namespace

TEST_SUITE("engine/procedure/workbench")
{
    TEST_CASE("an act that is allowed becomes one entry, and the state knows it")
    {
        Shop       shop;
        const auto before = shop.book.size();
        REQUIRE(shop.act(GiveCode{kIsolate, "lock_number", "L-17", "typed"}).has_value());
        CHECK(shop.book.size() == before + 1);
        const auto state = shop.bench.job("1");
        REQUIRE(state.has_value());
        const StepStatus* const step = (*state)->progress.step(kIsolate);
        REQUIRE(step != nullptr);
        REQUIRE(step->facts.code("lock_number") != nullptr);
        CHECK(step->facts.code("lock_number")->text == "L-17");
    }

    TEST_CASE("a refused act records nothing and names step and rule")
    {
        Shop       shop;
        const auto before = shop.book.size();
        const auto closed = shop.act(CloseStep{kIsolate});
        REQUIRE_FALSE(closed.has_value());
        CHECK(closed.error().fault == Fault::refused);
        const auto early = shop.act(CloseStep{{"bolt_down", "A"}});
        REQUIRE_FALSE(early.has_value());
        CHECK(early.error().message.find("rule") != std::string::npos);
        CHECK(shop.book.size() == before);
    }

    TEST_CASE("a photo the disk refuses leaves no entry behind")
    {
        Shop       shop;
        const auto before = shop.book.size();
        shop.io.refuse    = true;
        const auto kept   = shop.act(KeepPhoto{kIsolate, "lock_photo", jpeg(), "test"});
        REQUIRE_FALSE(kept.has_value());
        CHECK(kept.error().fault == Fault::no_space);
        CHECK(shop.book.size() == before);
        CHECK(shop.book.photo_hashes().empty());
        shop.io.refuse = false;
        REQUIRE(shop.act(KeepPhoto{kIsolate, "lock_photo", jpeg(), "test"}).has_value());
        REQUIRE(shop.book.photo_hashes().size() == 1);
        CHECK(shop.book.photos().has(shop.book.photo_hashes().front()));
    }

    TEST_CASE("bytes that are no whole picture are refused before anything is written")
    {
        Shop                       shop;
        const auto                 before = shop.book.size();
        std::vector<unsigned char> cut    = jpeg();
        cut.resize(cut.size() / 2);
        CHECK_FALSE(shop.act(KeepPhoto{kIsolate, "lock_photo", cut, "test"}).has_value());
        CHECK(shop.book.size() == before);
    }

    TEST_CASE("the state kept after an act is the state read from the whole record")
    {
        Shop shop;
        REQUIRE(shop.act(GiveCode{kIsolate, "lock_number", "L-17", "typed"}).has_value());
        REQUIRE(shop.act(KeepPhoto{kIsolate, "lock_photo", jpeg(), "test"}).has_value());
        REQUIRE(shop.act(CloseStep{kIsolate}).has_value());
        const auto      kept = shop.bench.job("1");
        const Workbench fresh(shop.book, bench::procedure(), shop.clock);
        const auto      read = fresh.job("1");
        REQUIRE(kept.has_value());
        REQUIRE(read.has_value());
        REQUIRE((*kept)->entries.size() == (*read)->entries.size());
        CHECK((*kept)->entries.back().id == (*read)->entries.back().id);
        CHECK((*kept)->progress.done_count() == 1);
        CHECK((*read)->progress.done_count() == 1);
        CHECK((*kept)->progress.next == (*read)->progress.next);
    }

    TEST_CASE("a sheet revised after its papers were settled does not judge a job anew")
    {
        Shop shop;
        REQUIRE(shop.act(GiveCode{kIsolate, "lock_number", "L-17", "typed"}).has_value());
        REQUIRE(shop.act(KeepPhoto{kIsolate, "lock_photo", jpeg(), "test"}).has_value());
        REQUIRE(shop.act(CloseStep{kIsolate}).has_value());
        const auto revise = [&](const std::string& revision, double turn_max_deg) {
            UnitSheet sheet = bench::demo_units()["SLW-P50-12"];
            sheet.revision  = revision;
            sheet.turn_max  = Degrees{turn_max_deg};
            shop.clock.advance_minutes(1);
            REQUIRE(shop.book.append(draft_of(sheet, "401")).has_value());
        };
        const auto sheet_in_force = [&] { return *(*shop.bench.job("1"))->plan.unit("A"); };
        revise("R8", 111.0);
        CHECK(sheet_in_force().revision == "R8"); // the papers are still open: the newest counts
        const StepRef papers{"papers", ""};
        REQUIRE(shop.act(Choose{papers, "unit", "right"}).has_value());
        REQUIRE(shop.act(Choose{papers, "sheet", "same"}).has_value());
        REQUIRE(shop.act(CloseStep{papers}).has_value());
        revise("R9", 222.0);
        CHECK(sheet_in_force().revision == "R8");
        CHECK(sheet_in_force().turn_max.value == doctest::Approx(111.0));
        const Workbench fresh(shop.book, bench::procedure(),
                              shop.clock); // and so reads whoever opens the book
        CHECK((*fresh.job("1"))->plan.unit("A")->revision == "R8");
        CHECK(shop.book.catalogue().unit("SLW-P50-12")->revision == "R9");
    }

    TEST_CASE("a photo of what is in the way may be kept on any step that is not done, and on no other")
    {
        Shop shop;
        CHECK(shop.act(KeepPhoto{kIsolate, kProblemPhoto, jpeg(), "test"}).has_value());
        CHECK_FALSE(shop.act(KeepPhoto{{"turn", "A"}, kProblemPhoto, jpeg(), "test"}).has_value());
        const auto state = shop.bench.job("1");
        REQUIRE(state.has_value());
        CHECK((*state)->progress.complaints.empty());
        CHECK((*state)->progress.step(kIsolate)->facts.photos.size() == 1);
        CHECK((*state)->progress.step(kIsolate)->state == StepState::open); // the lock is still to be shown
    }

    TEST_CASE("a job nobody opened is not found")
    {
        const Shop shop;
        const auto none = shop.bench.job("77");
        REQUIRE_FALSE(none.has_value());
        CHECK(none.error().fault == Fault::not_found);
    }
}
