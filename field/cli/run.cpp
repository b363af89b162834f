#include "field/cli/run.h"

#include "engine/base/memory_reserve.h"
#include "field/cli/commands.h"

#include <CLI/CLI.hpp>

#include <exception>
#include <iostream>
#include <new>
#include <string>

namespace field::cli {

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
        add_enrol(app, outcome);
        add_exchange(app, outcome);
        add_check(app, outcome);
        add_imports(app, outcome);
        add_review(app, outcome);
        add_trace(app, outcome);
        add_pack(app, outcome);
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
