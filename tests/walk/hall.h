#pragma once
// A hall with one shared folder, a planner's tablet with the plant key on a stick, and a second tablet: real
// apps on offscreen glasses.
#include "field/app/rehearsal.h"
#include "field/app/stage.h"
#include "field/camera/qr.h"
#include "sync/enrolment.h"

#include <doctest/doctest.h>

#include <fstream>
#include <memory>
#include <string>
#include <vector>

#include "tests/support/picture.h"
#include "tests/support/program.h"
#include "tests/support/temp_folder.h"

namespace walk {

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
inline Grey grey_of(const field::shell::Image& image)
{
    Grey grey{{}, image.w, image.h};
    for (std::size_t i = 0; i + 3 < image.rgba.size(); i += 4)
        grey.pixels.push_back(
            static_cast<unsigned char>((image.rgba[i] + image.rgba[i + 1] + image.rgba[i + 2]) / 3));
    return grey;
}

/// A code as a camera might see it, without any tablet that shows it.
inline Grey grey_of(const field::camera::QrBits& bits)
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
        does("demo --shifts 0 --not-enrolled --book " + at("planner.book").string());
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
inline void trust_and_work(Tablet& second)
{
    second.does({"exchange", "tap settings", "tap plant", "settle", "expect does not trust it yet",
                 "tap main", "expect Which figures are on the paper?", "off main", "tap offer.0", "tap main",
                 "expect Waiting to be enrolled", "tap back", "tap main", "expect Today", "tap job.2219",
                 "tap main"});
    second.plays("parts/before.walk");
    second.does({"tap back", "tap back", "exchange", "tap settings", "tap plant", "settle"});
}

inline void open_members(Tablet& planner)
{
    planner.does({"exchange", "tap settings", "tap plant", "settle", "tap members", "settle"});
}

/// From the camera's place to the list, with what the second tablet shows.
inline void enrol_from_glass(Hall& hall, Tablet& planner, Tablet& second)
{
    planner.does({"tap main", "expect Hold the code"});
    hall.camera_sees(second.glass());
    planner.stage().frames(3);
    planner.does({"expect T-07", "expect " + share::figures_of(second.book().device()), "off main",
                  "tap same", "off main", "tap role.recorder", "expect Enrol T-07 as recorder", "tap main",
                  "settle", "expect Key file plant.key", "off main", std::string("type ") + kPassphrase,
                  "tap main", "settle", "expect Done: Enrol T-07 as recorder"});
}

inline std::size_t readings_of(Tablet& reader, Tablet& writer)
{
    std::size_t count = 0;
    for (const auto& entry : reader.book().entries_of_job("2219"))
        if (entry.dev == writer.book().device()) ++count;
    return count;
}

} // namespace walk
