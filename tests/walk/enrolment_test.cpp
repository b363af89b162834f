// Two tablets in one hall: the second shows its code, the planner's reads it off the glass, signs with the
// plant key from a stick, and after an exchange the second one counts. Then what must not work.
#include "engine/base/clock.h"
#include "engine/book/locked_key.h"
#include "field/app/rehearsal.h"
#include "field/app/stage.h"
#include "field/camera/qr.h"
#include "field/camera/scan.h"
#include "sync/enrolment.h"

#include <doctest/doctest.h>

#include <fstream>
#include <string>
#include <vector>

#include "tests/support/picture.h"
#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace {

namespace fs = std::filesystem;
using field::app::RehearsalSetup;
using field::app::Stage;

constexpr std::int64_t kMorning_ms = 1'795'590'000'000; ///< 2026-11-25 07:00 UTC
constexpr const char*  kPassphrase = "reed mill Long 7 words!";

/// One byte a pixel, from what is on a glass.
struct Grey {
    std::vector<unsigned char> pixels;
    int                        w = 0, h = 0;
};
Grey grey_of(const field::shell::Image& image)
{
    Grey grey{{}, image.w, image.h};
    for (std::size_t i = 0; i + 3 < image.rgba.size(); i += 4)
        grey.pixels.push_back(
            static_cast<unsigned char>((image.rgba[i] + image.rgba[i + 1] + image.rgba[i + 2]) / 3));
    return grey;
}

/// A code as a camera might see it, without any tablet that shows it.
Grey grey_of(const field::camera::QrBits& bits)
{
    constexpr int kModule_px = 6;
    const int     side       = (bits.side + 2 * field::camera::kQuietZone) * kModule_px;
    Grey          grey{
        std::vector<unsigned char>(static_cast<std::size_t>(side) * static_cast<std::size_t>(side), 255),
        side, side};
    for (int y = 0; y < bits.side * kModule_px; ++y)
        for (int x = 0; x < bits.side * kModule_px; ++x)
            if (bits.at(x / kModule_px, y / kModule_px))
                grey.pixels[static_cast<std::size_t>(y + field::camera::kQuietZone * kModule_px) *
                                static_cast<std::size_t>(side) +
                            static_cast<std::size_t>(x + field::camera::kQuietZone * kModule_px)] = 0;
    return grey;
}

class Tablet {
  public:
    explicit Tablet(const RehearsalSetup& setup)
    {
        auto opened = Stage::open(setup, kMorning_ms);
        REQUIRE_MESSAGE(opened.has_value(), (opened ? std::string{} : opened.error().message));
        stage_ = std::move(*opened);
    }
    /// Lines of a script; after each the glass is looked at.
    void does(const std::vector<std::string>& lines)
    {
        for (const std::string& line : lines) {
            const std::size_t gap = line.find(' ');
            const auto        done =
                stage_->perform(line.substr(0, gap), gap == std::string::npos ? "" : line.substr(gap + 1));
            REQUIRE_MESSAGE(done.has_value(), line << ": " << (done ? std::string{} : done.error().message));
            stage_->judge(line);
        }
        for (const std::string& fault : stage_->faults())
            FAIL_CHECK(fault);
    }
    void plays(const char* part)
    {
        const auto script = field::app::read_script(fs::path(WM_SOURCE_DIR) / "tests" / "walk" / part);
        REQUIRE(script);
        for (const auto& line : *script)
            does({line.command + (line.rest.empty() ? "" : " " + line.rest)});
    }
    [[nodiscard]] bool says(const std::string& text) const { return stage_->app().ledger().says(text); }
    /// All that stands on the glass, in the order it was drawn: a sentence may run over several lines.
    [[nodiscard]] std::string all() const
    {
        std::string text;
        for (const auto& seen : stage_->app().ledger().texts)
            text += seen.text + " ";
        return text;
    }
    void reads(const std::string& sentence) const
    {
        CHECK_MESSAGE(all().find(sentence) != std::string::npos, "'" << sentence << "' is not in: " << all());
    }
    [[nodiscard]] Grey                       glass() { return grey_of(stage_->picture()); }
    [[nodiscard]] const field::shell::Image& picture() { return stage_->picture(); }
    [[nodiscard]] engine::Book&              book() { return stage_->book(); }
    [[nodiscard]] Stage&                     stage() { return *stage_; }

  private:
    std::unique_ptr<Stage> stage_;
};

/// A planner's tablet with a plant key on a stick, and a hall with one shared folder.
class Hall {
  public:
    explicit Hall(field::look::ScreenSize screen = field::look::kTenInch, const char* hand = "right")
        : screen_(screen)
    {
        for (const char* book : {"planner.book", "second.book"})
            std::ofstream(at(book).string() + ".settings.json") << R"({"hand":")" << hand << R"("})";
        std::ofstream(at("words")) << kPassphrase << '\n';
        for (const char* folder : {"share", "pictures", "stick"})
            fs::create_directory(at(folder));
        does("demo --shifts 0 --book " + at("planner.book").string());
        does("enrol plant-key --quick --book " + at("planner.book").string() + " --key " + key().string() +
             " --secret-file " + at("words").string());
    }
    [[nodiscard]] fs::path at(const std::string& name) const { return folder_.path() / name; }
    [[nodiscard]] fs::path key() const { return at("stick") / "plant.key"; }

    [[nodiscard]] RehearsalSetup planner() const
    {
        return {.book          = at("planner.book"),
                .out           = folder_.path(),
                .shared        = at("share"),
                .plant_key     = at("stick"),
                .screen        = screen_,
                .badge         = "401",
                .start_wall_ms = kMorning_ms,
                .camera_folder = at("pictures")};
    }
    [[nodiscard]] RehearsalSetup second() const
    {
        return {.book          = at("second.book"),
                .out           = folder_.path(),
                .shared        = at("share"),
                .screen        = screen_,
                .badge         = "112",
                .start_wall_ms = kMorning_ms,
                .machine_name  = "T-07"};
    }
    void camera_sees(const Grey& grey)
    {
        const auto    jpeg = support::grey_jpeg(grey.pixels, grey.w, grey.h);
        std::ofstream out(at("pictures") / ("seen" + std::to_string(++seen_) + ".jpg"), std::ios::binary);
        out.write(reinterpret_cast<const char*>(jpeg.data()), static_cast<std::streamsize>(jpeg.size()));
    }
    std::string does(const std::string& command)
    {
        const auto ran = support::run(command, folder_.path());
        REQUIRE_MESSAGE(ran.code == 0, command << ": " << ran.says);
        return ran.out;
    }

  private:
    support::TempFolder     folder_;
    field::look::ScreenSize screen_;
    int                     seen_ = 0;
};

/// The second tablet has met the folder, trusts the plant key as its holder found it on the paper, and
/// recorded.
void trust_and_work(Tablet& second)
{
    second.does({"exchange", "tap settings", "tap plant", "settle", "expect does not trust it yet",
                 "tap main", "expect Which figures are on the paper?", "off main", "tap offer.0", "tap main",
                 "expect Waiting to be enrolled", "tap back", "tap main", "expect Today", "tap job.2219",
                 "tap main"});
    second.plays("parts/before.walk");
    second.does({"tap back", "tap back", "exchange", "tap settings", "tap plant", "settle"});
}

void open_members(Tablet& planner)
{
    planner.does({"exchange", "tap settings", "tap plant", "settle", "tap members", "settle"});
}

/// From the camera's place to the list, with what the second tablet shows.
void enrol_from_glass(Hall& hall, Tablet& planner, Tablet& second)
{
    planner.does({"tap main", "expect Hold the code"});
    hall.camera_sees(second.glass());
    planner.stage().frames(3);
    planner.does({"expect T-07", "expect " + share::figures_of(second.book().device()), "off main",
                  "tap same", "off main", "tap role.recorder", "expect Enrol T-07 as recorder", "tap main",
                  "settle", "expect Key file plant.key", "off main", std::string("type ") + kPassphrase,
                  "tap main", "settle", "expect Done: Enrol T-07 as recorder"});
}

std::size_t readings_of(Tablet& reader, Tablet& writer)
{
    std::size_t count = 0;
    for (const auto& entry : reader.book().entries_of_job("2219"))
        if (entry.dev == writer.book().device()) ++count;
    return count;
}

} // namespace

TEST_SUITE("walk/enrolment")
{
    TEST_CASE("a tablet whose code was read off its glass and signed counts after an exchange")
    {
        for (const auto& screen : {field::look::kTenInch, field::look::kEightInchUpright}) {
            CAPTURE(screen.w_px);
            Hall   hall(screen, screen.portrait() ? "left" : "right");
            Tablet planner(hall.planner());
            planner.does({"exchange"});
            Tablet second(hall.second());
            trust_and_work(second);
            open_members(planner);
            CHECK(readings_of(planner, second) == 0);
            CHECK(planner.says("waits"));
            enrol_from_glass(hall, planner, second);
            CHECK_FALSE(planner.says("waits"));
            planner.does({"exchange"});
            second.does({"exchange", "expect Enrolled as recorder"});
            planner.does({"exchange"});
            CHECK(readings_of(planner, second) >= 5);
            CHECK(planner.book().barred_count() == 0);
            CHECK(planner.book().roster().seq() == 3); // root, the planner's tablet, the second
        }
    }

    TEST_CASE("what a revoked tablet records later does not count, and its holder can read that")
    {
        Hall   hall;
        Tablet planner(hall.planner());
        planner.does({"exchange"});
        Tablet second(hall.second());
        trust_and_work(second);
        open_members(planner);
        enrol_from_glass(hall, planner, second);
        planner.does({"exchange"});
        second.does({"exchange"});
        planner.does({"exchange"});
        const std::size_t before = readings_of(planner, second);
        planner.does({"tap machine.T-07", "off main", "tap reason.lost", "expect Revoke T-07", "tap main",
                      "settle", std::string("type ") + kPassphrase, "tap main", "settle",
                      "expect Done: Revoke T-07", "expect revoked", "tap machine.T-07",
                      "expect Revoked: Lost.", "off main", "exchange"});
        second.does({"exchange", "expect does not count", "tap back", "tap main", "tap job.2219"});
        second.plays("parts/old_out.walk"); // nothing stops the hand that holds it
        second.does({"exchange"});
        planner.does({"exchange"});
        const std::string& dev     = second.book().device();
        const auto&        revoked = planner.book().roster().machines().at(dev).revoked;
        REQUIRE(revoked);
        CHECK(revoked->reason == "lost");
        CHECK(share::last_entry_of(planner.book(), dev) > revoked->last_seq + 3); // kept, and set aside
        REQUIRE(planner.book().barred_count() > 3);
        for (const auto& one : planner.book().barred(100))
            CHECK(one.code == "R05");
        CHECK(readings_of(planner, second) == before);
    }

    TEST_CASE("a wrong passphrase is refused with one sentence and writes nothing")
    {
        Hall   hall;
        Tablet planner(hall.planner());
        Tablet second(hall.second());
        second.does({"exchange", "tap settings", "tap plant", "settle"});
        planner.does({"exchange", "tap settings", "tap plant", "tap members", "settle", "tap main"});
        hall.camera_sees(second.glass());
        planner.stage().frames(3);
        const auto seq  = planner.book().roster().seq();
        const auto size = planner.book().size();
        planner.does({"tap same", "tap role.auditor", "tap main", "settle", "type reed mill", "tap main"});
        CHECK(planner.says("Opening the key"));
        planner.does({"settle", "expect The passphrase or PIN does not open the key of plant saltmarsh."});
        CHECK(planner.book().roster().seq() == seq);
        CHECK(planner.book().size() == size);
        planner.does({"off main"}); // what was typed is gone
        planner.does({"send x", "absent does not open", std::string("tap key.erase"),
                      std::string("send ") + kPassphrase, "tap main", "settle",
                      "expect Done: Enrol T-07 as auditor"});
        CHECK(planner.book().roster().seq() == seq + 1);
    }

    TEST_CASE("a key file that is missing, damaged or another plant's is told apart, and takes no passphrase")
    {
        Hall           hall;
        const fs::path right = hall.at("kept.key");
        fs::rename(hall.key(), right);
        Tablet second(hall.second());
        second.does({"exchange"});
        Tablet planner(hall.planner());
        planner.does({"exchange", "tap settings", "tap plant", "tap members", "settle", "tap machine.T-07",
                      "tap same", "tap role.recorder", "tap main", "settle",
                      "expect No file of the plant key is in reach", "off main",
                      "absent Type its passphrase"});
        CHECK(planner.stage().app().ledger().target("key.a") == nullptr);
        std::ofstream(hall.key()) << support::text_of(right).substr(0, 150);
        planner.does(
            {"tap again", "settle", "expect plant.key is not a locked key, or is damaged", "off main"});
        fs::remove(hall.key());
        const auto foreign = engine::LockedKey::make(engine::MachineKey::generate(), "plant otherplace",
                                                     kPassphrase, engine::Lock::quick);
        REQUIRE(foreign);
        REQUIRE(foreign->save(hall.key()));
        planner.does({"tap again", "settle", "expect plant.key is the key of another plant", "off main"});
        fs::copy_file(right, hall.at("stick") / "right.key");
        planner.does({"tap again", "settle", "expect Key file right.key", std::string("send ") + kPassphrase,
                      "tap main", "settle", "expect Done: Enrol T-07 as recorder"});
    }

    TEST_CASE("a code of another plant, or none of ours, is refused and the next code is read")
    {
        Hall   hall;
        Tablet planner(hall.planner());
        Tablet second(hall.second());
        second.does({"tap settings", "tap plant"});
        planner.does({"tap settings", "tap plant", "tap members", "settle", "tap main"});
        const std::string key = engine::MachineKey::generate().device();
        const auto        see = [&](const std::string& text) {
            const auto bits = field::camera::qr_of(text);
            REQUIRE(bits);
            hall.camera_sees(grey_of(*bits));
            planner.stage().frames(3);
        };
        see(share::text_of({"otherplace", "T-09", key, false}));
        planner.reads("T-09 belongs to another plant (otherplace), this one is saltmarsh.");
        see("LDF-04");
        planner.reads("'LDF-04' is no enrolment code; a tablet shows its own under Settings");
        see("WM1:saltmarsh:T-09:" + std::string(64, '0')); // no point of the curve's prime-order group
        planner.reads("The key in the enrolment code is not valid; read the code again.");
        hall.camera_sees(second.glass());
        planner.stage().frames(3);
        planner.does({"expect T-07", "tap same"});
    }

    TEST_CASE(
        "a scanner that types brings a code as the camera does, a person's too, and the key can be ended")
    {
        Hall   hall;
        Tablet planner(hall.planner());
        planner.does(
            {"tap settings",
             "tap plant",
             "tap members",
             "settle",
             "tap main",
             "send " + share::text_of({"saltmarsh", "205", engine::MachineKey::generate().device(), true}) +
                 "\\n",
             "expect Badge 205",
             "tap same",
             "tap role.supervisor",
             "tap main",
             "settle",
             std::string("send ") + kPassphrase,
             "tap main",
             "settle",
             "expect Done: Enrol Badge 205 as supervisor",
             "tap badge.205",
             "tap reason.pin_known",
             "tap main",
             "settle",
             std::string("send ") + kPassphrase,
             "tap main",
             "settle",
             "expect key ended"});
        REQUIRE(planner.book().roster().persons().size() == 1);
        CHECK(planner.book().roster().persons().begin()->second.ended);
        CHECK(planner.book().roster().persons().begin()->second.reason == "pin_known");
    }

    TEST_CASE("of two lists in the folder a tablet trusts the one whose figures were tapped")
    {
        Hall hall;
        {
            Tablet planner(hall.planner());
            planner.does({"exchange"});
        }
        hall.does("demo --shifts 0 --seed 7 --book " + hall.at("rogue.book").string());
        hall.does("enrol plant-key --quick --book " + hall.at("rogue.book").string() + " --key " +
                  hall.at("rogue.key").string() + " --secret-file " + hall.at("words").string());
        // Its reader finds two lists and says so (exit code 1), but its own is in the folder by then.
        const auto sent = support::run("exchange --book " + hall.at("rogue.book").string() + " --shared " +
                                           hall.at("share").string(),
                                       hall.at("pictures"));
        REQUIRE(support::says(sent, "R12"));
        const auto clock = engine::system_clock();
        const auto right = [&] {
            const auto book = engine::Book::open(hall.at("planner.book"), *clock, {}, false);
            REQUIRE(book);
            return book->roster().root_key();
        }();
        Tablet second(hall.second());
        second.does({"tap settings", "tap plant", "settle", "tap main"});
        const auto& targets = second.stage().app().ledger();
        REQUIRE(targets.target("offer.1") != nullptr);
        // The row that carries the figures of the paper: its first line lies inside the row.
        const std::string paper = engine::fingerprint_of(right).substr(0, 19);
        std::string       row;
        for (const auto& text : targets.texts)
            for (const char* id : {"offer.0", "offer.1"})
                if (text.text == paper && targets.target(id)->rect.contains(text.ink.centre())) row = id;
        REQUIRE_FALSE(row.empty());
        second.does({"tap " + row, "tap main", "expect Waiting to be enrolled", "expect " + paper});
        CHECK(second.book().roster().root_key() == right);
        CHECK(second.book().roster().enrolled());
    }

    TEST_CASE("the code on the glass is black on white with its quiet zone in every light, and can be read")
    {
        for (const auto& screen : {field::look::kTenInch, field::look::kEightInchUpright})
            for (const auto light :
                 {field::look::Light::day, field::look::Light::dim, field::look::Light::glare}) {
                CAPTURE(screen.w_px);
                CAPTURE(static_cast<int>(light));
                Hall           hall(screen);
                RehearsalSetup setup = hall.second();
                setup.light          = light;
                Tablet second(setup);
                second.does({"tap settings", "tap plant", "settle"});
                const Grey grey = second.glass();
                const auto text = field::camera::scan_grey(grey.pixels, grey.w, grey.h);
                REQUIRE(text);
                CHECK(*text == share::text_of(share::own_code(second.book())));
                if (light != field::look::Light::dim) continue; // only there nothing else is pure white
                int left = grey.w, right = -1, top = grey.h, bottom = -1;
                for (int y = 0; y < grey.h; ++y)
                    for (int x = 0; x < grey.w; ++x)
                        if (grey.pixels[static_cast<std::size_t>(y * grey.w + x)] == 255)
                            left = std::min(left, x), right = std::max(right, x), top = std::min(top, y),
                            bottom = std::max(bottom, y);
                const auto bits = field::camera::qr_of(*text);
                REQUIRE(bits);
                const int modules = bits->side + 2 * field::camera::kQuietZone;
                CHECK((right - left + 1) % modules == 0); // whole pixels a module
                CHECK(right - left == bottom - top);
                const int quiet = (right - left + 1) / modules * field::camera::kQuietZone;
                int       dark  = 0;
                for (int y = top; y <= bottom; ++y)
                    for (int x = left; x <= right; ++x) {
                        const bool ring = std::min({x - left, right - x, y - top, bottom - y}) < quiet;
                        dark += ring && grey.pixels[static_cast<std::size_t>(y * grey.w + x)] != 255 ? 1 : 0;
                    }
                CHECK(dark == 0);
            }
    }
}
