#include <cstdlib>

#include "tests/bench/figures.h"
#include "tests/bench/glass.h"

namespace bench {

Glass::Glass(const std::filesystem::path& book, bool raster, const std::filesystem::path& shared)
    : clock_(engine::system_clock())
{
    auto shell = field::shell::open_offscreen({.screen = field::look::kTenInch});
    if (!shell) give_up(shell.error().message);
    shell_ = std::move(*shell);
    shell_->set_raster(raster);
    field::app::HouseOptions options;
    options.book          = book;
    options.shared        = shared;
    options.camera.camera = "test";
    options.badge         = "112";
    auto house            = field::app::AppHouse::open(options, *shell_, *clock_);
    if (!house) give_up(house.error().message);
    house_ = std::move(*house);
}

void Glass::frames(int count)
{
    for (int i = 0; i < count; ++i) {
        (void)shell_->poll(std::chrono::milliseconds(0));
        app().frame();
    }
}

void Glass::touch(const std::string& name)
{
    const auto* target = app().ledger().target(name);
    if (target == nullptr || !target->enabled) give_up("there is no target " + name + " to touch");
    shell_->touch_down(target->rect.centre());
    shell_->touch_up();
}

void Glass::press(const std::string& name)
{
    touch(name);
    frames(6);
}

std::filesystem::path demo_book(const std::filesystem::path& file, int shifts)
{
    const std::string command = std::string(WM_PROGRAM) + " demo --not-enrolled --book '" + file.string() +
                                "' --shifts " + std::to_string(shifts) + " > /dev/null";
    if (std::system(command.c_str()) != 0) give_up("the demo book was not made: " + command);
    return file;
}

void play(const std::filesystem::path& book, const std::vector<std::string>& lines)
{
    field::app::RehearsalSetup setup;
    setup.book     = book;
    setup.out      = book.parent_path();
    setup.badge    = "112";
    setup.pictures = false;
    auto stage     = field::app::Stage::open(setup, engine::system_clock()->now().wall_ms);
    if (!stage) give_up(stage.error().message);
    for (const std::string& line : lines) {
        const std::size_t gap = line.find(' ');
        const auto        done =
            (*stage)->perform(line.substr(0, gap), gap == std::string::npos ? "" : line.substr(gap + 1));
        if (!done) give_up("'" + line + "': " + done.error().message);
    }
}

} // namespace bench
