#pragma once
// --serial, --asset or --job: what of the record a command is about.
#include "engine/evidence/trace_query.h"

#include <CLI/CLI.hpp>

#include <string>

namespace field::cli {

struct Which {
    std::string serial, asset, job;

    /// One of the three must be given; `purpose` heads them in the help. Must outlive the parse.
    void                           add_to(CLI::App& command, const std::string& purpose);
    [[nodiscard]] engine::TraceKey key() const;
};

} // namespace field::cli
