#include "engine/base/clock.h"
#include "field/app/rehearsal.h"
#include "field/cli/commands.h"
#include "field/cli/options.h"

#include <CLI/CLI.hpp>

#include <iostream>
#include <memory>

namespace field::cli {
namespace {

struct RehearseOptions {
    std::string script, book, shared, out, size = "1280x800", theme, badge = "112", camera = "test",
                                           plant_key, machine, camera_folder;
    bool every = false;
};

int play(const RehearseOptions& options)
{
    const auto screen = screen_from(options.size);
    if (!screen) return complain(screen.error());
    const auto script = app::read_script(options.script);
    if (!script) return complain(script.error());
    std::error_code trouble;
    std::filesystem::create_directories(options.out, trouble);
    if (!std::filesystem::is_directory(options.out, trouble))
        return complain(
            {engine::Fault::io, "The folder " + options.out + " cannot be made.", trouble.message()});
    app::RehearsalSetup setup{.book   = options.book,
                              .out    = options.out,
                              .shared = options.shared,
                              .screen = *screen,
                              .light  = light_from(options.theme)};
    setup.badge         = options.badge == "none" ? "" : options.badge;
    setup.every         = options.every;
    setup.camera        = options.camera;
    setup.camera_folder = options.camera_folder;
    setup.plant_key     = options.plant_key;
    if (!options.machine.empty()) setup.machine_name = options.machine;
    setup.start_wall_ms = engine::system_clock()->now().wall_ms;
    const auto played   = app::rehearse(*script, setup);
    if (played) return 0;
    std::cerr << "witnessmark: " << played.error().message << '\n';
    return played.error().fault == engine::Fault::refused ? 1 : 2;
}

} // namespace

void add_rehearse(CLI::App& app, Outcome& outcome)
{
    auto  options = std::make_shared<RehearseOptions>();
    auto* command =
        app.add_subcommand("rehearse", "Plays touches and keys through the real app without a display");
    command->footer(
        "Script, one command a line, # starts a comment; NAME is the id of a target on the screen:\n"
        "  tap NAME | type TEXT | send TEXT | turn FROM TO | photo | expect TEXT | absent TEXT | off NAME\n"
        "  shot NAME (writes NAME.png) | wait SECONDS | exchange | settle | kill (killed and started again)\n"
        "  include FILE\n"
        "After every line the glass is looked at: clipped, shortened or overlapping text and small targets\n"
        "fail the script at its end.\n"
        "Exit 0: played to the end. 1: a line could not be carried out, named with what was on the screen. "
        "2: bad use.");
    command->add_option("SCRIPT", options->script, "Script to play")->required();
    command->add_option("--book", options->book, "Book to play on; made when it is not there")
        ->required()
        ->type_name("FILE");
    command->add_option("--out", options->out, "Folder for the pictures")->required()->type_name("DIR");
    command->add_option("--shared", options->shared, "Shared folder")->type_name("DIR");
    command->add_option("--size", options->size, "Size of the glass in pixels")
        ->type_name("WxH")
        ->capture_default_str();
    command->add_option("--theme", options->theme, "day, dim or glare")
        ->check(CLI::IsMember({"day", "dim", "glare"}));
    command->add_option("--camera", options->camera, "A device, or 'test' for a moving test picture")
        ->capture_default_str();
    command->add_option("--camera-folder", options->camera_folder, "Pick photos up from a folder instead")
        ->type_name("DIR");
    command->add_option("--plant-key", options->plant_key, "File or folder of the plant key")
        ->type_name("FILE|DIR");
    command->add_option("--machine", options->machine, "Name of the machine whose book is made")
        ->type_name("NAME");
    command->add_flag("--every", options->every, "Draw a picture after every line, named by its number");
    command->add_option("--badge", options->badge, "Who holds the tablet at the start; none: the app asks")
        ->capture_default_str();
    command->callback([options, &outcome] { outcome.exit_code = play(*options); });
}

} // namespace field::cli
