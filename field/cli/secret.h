#pragma once
// A passphrase or PIN for a command.
#include "engine/base/result.h"

#include <CLI/App.hpp>

#include <string>

namespace field::cli {

/// A secret from a file's first line, or typed at the terminal without being shown.
[[nodiscard]] engine::Result<std::string> secret_from(const std::string& file, const std::string& what);

/// Where a command's PIN comes from. Never the command line: every program of the machine can read that.
struct PinSource {
    std::string file;        ///< empty: asked for at the terminal, or the first line of standard input
    std::string on_the_line; ///< given in the old way, which is refused
};
/// Gives a command the option for it.
void take_pin(CLI::App& command, PinSource& source);
/// Faults: bad_input (on the command line, or none given), not_found (no such file).
[[nodiscard]] engine::Result<std::string> pin_from(const PinSource& source, const std::string& badge);

} // namespace field::cli
