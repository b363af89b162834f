#include "field/app/house.h"
#include "field/cli/commands.h"
#include "field/cli/options.h"

#include <CLI/CLI.hpp>

#include <cstdlib>
#include <memory>

namespace field::cli {
namespace {

struct TabletOptions {
    std::string book, shared, plant_key, machine, theme, units, size, camera = "/dev/video0", camera_folder;
    bool        desk = false, full_screen = false;
    unsigned    ballast_mb = 64;
};

std::filesystem::path default_book()
{
    const char*                 data = std::getenv("XDG_DATA_HOME");
    const char*                 home = std::getenv("HOME");
    const std::filesystem::path base =
        data != nullptr && *data != '\0'
            ? std::filesystem::path(data)
            : std::filesystem::path(home != nullptr ? home : ".") / ".local" / "share";
    return base / "witnessmark" / "book";
}

int open_tablet(const TabletOptions& options)
{
    app::HouseOptions house{.book =
                                options.book.empty() ? default_book() : std::filesystem::path(options.book),
                            .shared        = options.shared,
                            .plant_key     = options.plant_key,
                            .camera        = {options.camera, options.camera_folder},
                            .light         = light_from(options.theme),
                            .ballast_bytes = std::uint64_t{options.ballast_mb} * 1'000'000,
                            .host          = engine::this_host()};
    if (!options.machine.empty()) house.machine_name = options.machine;
    if (!options.units.empty())
        house.units = options.units == "in" ? screens::Units::inch : screens::Units::mm;
    shell::Options glass{.full_screen = options.full_screen};
    if (!options.size.empty()) {
        const auto screen = screen_from(options.size);
        if (!screen) return complain(screen.error());
        glass.screen = *screen;
    }
    if (options.book.empty()) {
        std::error_code trouble;
        std::filesystem::create_directories(house.book.parent_path(), trouble);
    }
    const auto clock = engine::system_clock();
    auto       shell = options.desk ? shell::open_desk(glass) : shell::open_tablet(glass);
    if (!shell) return complain(shell.error());
    auto opened = app::AppHouse::open(house, **shell, *clock);
    if (!opened) return complain(opened.error());
    app::run(**shell, (*opened)->app());
    return 0;
}

} // namespace

void add_tablet(CLI::App& app, Outcome& outcome)
{
    auto options = std::make_shared<TabletOptions>();
    app.add_option("--book", options->book, "Book of this machine (default: the user's data folder)")
        ->type_name("FILE");
    app.add_option("--shared", options->shared, "Shared folder to exchange with, when it is in reach")
        ->type_name("DIR");
    app.add_option(
           "--plant-key", options->plant_key,
           "Where a planner's signature looks for the plant key (default: the folder that holds the shared "
           "folder, and every stick)")
        ->type_name("FILE|DIR");
    app.add_option("--machine", options->machine, "Name of this machine, used once, when its book is made")
        ->type_name("NAME");
    app.add_flag("--desk", options->desk, "Open a desk window (mouse and keyboard) instead of the tablet");
    app.add_flag("--full-screen", options->full_screen, "Take the whole display");
    app.add_option("--theme", options->theme, "day, dim or glare")
        ->check(CLI::IsMember({"day", "dim", "glare"}));
    app.add_option("--units", options->units, "Lengths in mm or in")->check(CLI::IsMember({"mm", "in"}));
    app.add_option("--size", options->size, "Size of the glass in pixels, such as 1280x800")
        ->type_name("WxH");
    app.add_option("--ballast", options->ballast_mb,
                   "Megabytes kept free on the disk, so that a step can be closed when it is full (0: none)")
        ->type_name("MB")
        ->capture_default_str();
    app.add_option("--camera", options->camera, "A device, or 'test' for a moving test picture")
        ->type_name("SOURCE")
        ->capture_default_str();
    app.add_option("--camera-folder", options->camera_folder, "Pick photos up from a folder instead")
        ->type_name("DIR");
    app.final_callback([options, &app, &outcome] {
        if (app.get_subcommands().empty()) outcome.exit_code = open_tablet(*options);
    });
}

} // namespace field::cli
