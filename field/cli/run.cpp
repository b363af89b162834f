#include "field/cli/run.h"

#include "engine/base/memory_reserve.h"
#include "field/cli/commands.h"

#include <CLI/CLI.hpp>

#include <exception>
#include <iostream>
#include <new>
#include <string>

namespace field::cli {

namespace {

/// An option that is there but empty (`--rms ""`, a variable of a script that was never set) is no value: it
/// must not count as given anywhere.
void refuse_empty_options(CLI::App& app)
{
    static const CLI::Validator not_empty(
        [](std::string& given) {
            return given.find_first_not_of(" \t\r\n") == std::string::npos
                       ? std::string("it is empty; give a value or leave the option out")
                       : std::string();
        },
        "");
    for (CLI::Option* option : app.get_options())
        if (option->get_items_expected_max() > 0) option->check(not_empty);
    for (CLI::App* command : app.get_subcommands(nullptr))
        refuse_empty_options(*command);
}

} // namespace

int complain(const engine::Error& error)
{
    std::cerr << "witnessmark: " << error.message << '\n';
    return 2;
}

int run(int argc, char** argv)
{
    engine::keep_memory_reserve();
    try {
        CLI::App app{"Witnessmark: mounting roller bearings on tapered adapter sleeves, with a record nobody "
                     "can alter unseen.",
                     "witnessmark"};
        app.require_subcommand(0, 1);
        app.set_version_flag("--version", "witnessmark " WM_VERSION "\n");
        app.failure_message([](const CLI::App*, const CLI::Error& wrong) {
            return "witnessmark: " + std::string(wrong.what()) + "; --help says more.\n";
        });
        Outcome outcome;
        add_tablet(app, outcome);
        add_demo(app, outcome);
        add_fill(app, outcome);
        add_rehearse(app, outcome);
        add_figure(app, outcome);
        add_plant(app, outcome);
        add_enrol(app, outcome);
        add_exchange(app, outcome);
        add_check(app, outcome);
        add_imports(app, outcome);
        add_review(app, outcome);
        add_sign(app, outcome);
        add_trace(app, outcome);
        add_pack(app, outcome);
        refuse_empty_options(app);
        try {
            app.parse(argc, argv);
        } catch (const CLI::ParseError& parse) {
            return app.exit(parse) == 0 ? 0 : 2;
        }
        return outcome.exit_code;
    } catch (const std::bad_alloc&) {
        std::cerr << "witnessmark: This machine has no memory left; what was said to be saved is saved. "
                     "Close other "
                     "programs and start again.\n";
        return 2;
    } catch (const std::exception& error) {
        std::cerr << "witnessmark: " << error.what() << '\n';
        return 2;
    }
}

} // namespace field::cli
