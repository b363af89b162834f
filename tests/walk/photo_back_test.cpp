// A photo that left the tablet for want of room: the record says where it is, and brings it back.
#include "sync/disk_folder.h"
#include "sync/exchange.h"

#include "tests/walk/hall.h"

using namespace walk;

namespace {

std::size_t count_of(const Tablet& tablet, const std::string& words)
{
    const std::string all   = tablet.all();
    std::size_t       count = 0;
    for (std::size_t at = all.find(words); at != std::string::npos; at = all.find(words, at + 1))
        ++count;
    return count;
}

/// A tablet whose photos of the steps before the mounting are in the folder, read there by another machine,
/// and gone.
struct Emptied {
    support::TempFolder     folder;
    field::look::ScreenSize screen;

    [[nodiscard]] fs::path at(const std::string& name) const { return folder.path() / name; }
    void                   another_machine_reads() const
    {
        const auto clock = engine::system_clock();
        auto       book  = engine::Book::open(at("reader.book"), *clock, {.machine_name = "T-09"});
        REQUIRE(book);
        auto share = share::DiskFolder::open(at("share"));
        REQUIRE(share);
        for (int pass = 0; pass < 2; ++pass) // reads, and then sends that it has read
            REQUIRE(share::exchange(*book, *share, *clock));
    }
    [[nodiscard]] RehearsalSetup setup() const
    {
        return {.book          = at("t.book"),
                .out           = folder.path(),
                .shared        = at("share"),
                .screen        = screen,
                .badge         = "112",
                .start_wall_ms = kMorning_ms};
    }
};

} // namespace

TEST_SUITE("walk/photo")
{
    TEST_CASE("a photo that is in the shared folder only says so in the record, and comes back when it is "
              "asked for")
    {
        for (const auto& screen : {field::look::kTenInch, field::look::kEightInchUpright}) {
            CAPTURE(screen.w_px);
            const Emptied place{{}, screen};
            fs::create_directory(place.at("share"));
            const auto made = support::run(
                "demo --shifts 0 --not-enrolled --book " + place.at("t.book").string(), place.folder.path());
            REQUIRE_MESSAGE(made.code == 0, made.says);
            Tablet tablet(place.setup());
            tablet.does({"tap job.2219", "tap main"});
            tablet.plays("parts/before.walk");
            tablet.does({"tap back", "tap record"});
            const std::size_t here = count_of(tablet, "Photo kept");
            REQUIRE(here >= 1);
            CHECK(count_of(tablet, "Photo in the folder") == 0);
            tablet.does({"tap back", "tap back", "exchange"});
            place.another_machine_reads();
            tablet.does({"exchange"});
            const auto may_leave = tablet.book().photos_that_may_leave(100);
            REQUIRE(may_leave.size() >= here);
            for (const std::string& photo : may_leave)
                REQUIRE(tablet.book().let_go(photo));

            tablet.does({"tap job.2219", "tap back", "tap record"});
            CHECK(count_of(tablet, "Photo in the folder") == here);
            std::string line;
            for (const auto& target : tablet.stage().app().ledger().targets)
                if (target.id.starts_with("line.") && line.empty()) line = target.id;
            REQUIRE_FALSE(line.empty());
            tablet.does({"off main", "tap " + line, "expect Bring this photo back", "tap main",
                         "expect Photo asked for", "off main"});
            CHECK(count_of(tablet, "Photo in the folder") == here - 1);

            tablet.does({"tap back", "tap record", "expect Photo asked for"}); // until it is here
            tablet.does({"tap back", "tap back", "exchange", "tap job.2219", "tap back", "tap record"});
            CHECK(count_of(tablet, "Photo kept") == 1);
            CHECK(count_of(tablet, "Photo in the folder") == here - 1);
            CHECK(count_of(tablet, "Photo asked for") == 0);
        }
    }
}
