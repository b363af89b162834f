// A decision taken on the glass of a tablet that belongs to an enrolled plant: the PIN opens the person's own
// key, and whoever reads the record judges it by the plant's list.
#include "engine/base/clock.h"
#include "engine/book/book.h"
#include "field/app/rehearsal.h"
#include "sync/disk_folder.h"
#include "sync/exchange.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <string>

#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;

constexpr std::int64_t kEnrolledMorning_ms = 1'795'590'000'000; ///< 2026-11-25 07:00 UTC

/// A demo tablet whose plant has a key, and on it the key of the supervisor with badge 205.
class Plant {
  public:
    Plant()
    {
        std::ofstream(at("words")) << "reed mill long words\n";
        std::ofstream(at("pin")) << "2050\n";
        does("demo --shifts 0 --not-enrolled" + book());
        does("enrol plant-key --quick" + book() + key());
        const std::string said =
            does("enrol person-key --badge 205 --secret-file " + at("pin").string() + book());
        code_ = said.substr(said.find("WM1P:"));
        code_.resize(code_.find('\n'));
    }
    void enrol_person()
    {
        does("enrol person " + code_ + " --role supervisor --name Quill" + book() + key());
    }

    [[nodiscard]] fs::path       at(const std::string& name) const { return folder_.path() / name; }
    [[nodiscard]] engine::Status play(const std::string& walk) const
    {
        const auto script = field::app::read_script(fs::path(WM_SOURCE_DIR) / "tests" / "walk" / walk);
        REQUIRE(script);
        return field::app::rehearse(*script, {.book          = at("tablet.book"),
                                              .out           = folder_.path(),
                                              .screen        = field::look::kTenInch,
                                              .badge         = "112",
                                              .start_wall_ms = kEnrolledMorning_ms,
                                              .pictures      = false});
    }

  private:
    [[nodiscard]] std::string book() const { return " --book " + at("tablet.book").string(); }
    [[nodiscard]] std::string key() const
    {
        return " --key " + at("plant.key").string() + " --secret-file " + at("words").string();
    }
    std::string does(const std::string& command)
    {
        const auto ran = support::run(command, folder_.path());
        CAPTURE(ran.says);
        REQUIRE(ran.code == 0);
        return ran.out;
    }

    support::TempFolder folder_;
    std::string         code_;
};

std::vector<engine::Entry> decisions_in(const engine::Book& book)
{
    std::vector<engine::Entry> found;
    for (const auto& entry : book.entries_of_job("2219"))
        if (entry.said.kind == engine::kind::decision) found.push_back(entry);
    return found;
}

} // namespace

TEST_SUITE("walk/enrolled plant")
{
    TEST_CASE("a release on the glass carries the supervisor's own signature, and another machine counts it")
    {
        Plant plant;
        plant.enrol_person();
        const auto played = plant.play("screens_release.walk");
        CHECK_MESSAGE(played.has_value(), (played ? std::string{} : played.error().message));
        const auto clock  = engine::system_clock();
        auto       tablet = engine::Book::open(plant.at("tablet.book"), *clock, {});
        REQUIRE(tablet);
        REQUIRE(decisions_in(*tablet).size() == 1);
        CHECK(engine::person_signature_fits(decisions_in(*tablet).front()));
        CHECK(tablet->barred_count() == 0);

        fs::create_directories(plant.at("share"));
        auto share = share::DiskFolder::open(plant.at("share"));
        REQUIRE(share);
        REQUIRE(share::exchange(*tablet, *share, *clock));
        engine::BookOptions office;
        office.machine_name = "office";
        auto reader         = engine::Book::open(plant.at("office.book"), *clock, office);
        REQUIRE(reader);
        REQUIRE(reader->trust_root(tablet->roster().root_key()));
        REQUIRE(share::exchange(*reader, *share, *clock));
        CHECK(reader->roster().enrolled());
        CHECK(decisions_in(*reader).size() == 1);
        CHECK(reader->barred_count() == 0);
    }

    TEST_CASE("a supervisor whose key is not on the plant's list decides nothing")
    {
        const Plant plant; // the key was made, the plant has not said whose it is
        CHECK_FALSE(plant.play("screens_release.walk"));
        const auto clock  = engine::system_clock();
        auto       tablet = engine::Book::open(plant.at("tablet.book"), *clock, {});
        REQUIRE(tablet);
        CHECK(decisions_in(*tablet).empty());
    }
}
