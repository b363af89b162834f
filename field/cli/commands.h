#pragma once
// One function a command file: it adds its subcommand to the program and, when chosen, runs from CLI11's
// callback by setting `exit_code`. Global conventions: --json prints one JSON document on stdout, complaints
// go to stderr as one sentence.
#include "engine/base/result.h"

#include <CLI/App.hpp>

namespace field::cli {

struct Outcome {
    int exit_code = 0;
};

void add_demo(CLI::App& app, Outcome& outcome);
void add_fill(CLI::App& app, Outcome& outcome);
void add_rehearse(CLI::App& app, Outcome& outcome);
void add_figure(CLI::App& app, Outcome& outcome);
void add_plant(CLI::App& app, Outcome& outcome);
void add_enrol(CLI::App& app, Outcome& outcome);
void add_exchange(CLI::App& app, Outcome& outcome);
void add_check(CLI::App& app, Outcome& outcome);
void add_imports(CLI::App& app, Outcome& outcome); ///< units|people|instruments|jobs import
void add_review(CLI::App& app, Outcome& outcome);
void add_sign(CLI::App& app, Outcome& outcome); ///< countersign, return, decide
void add_trace(CLI::App& app, Outcome& outcome);
void add_pack(CLI::App& app, Outcome& outcome);
void add_tablet(CLI::App& app, Outcome& outcome); ///< no subcommand: opens the app

/// "witnessmark: <sentence>" on stderr; returns 2, the exit code of bad use or input.
int complain(const engine::Error& error);

} // namespace field::cli
