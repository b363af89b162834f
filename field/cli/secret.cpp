#include "field/cli/secret.h"

#include <CLI/CLI.hpp>
#include <termios.h>
#include <unistd.h>

#include <fstream>
#include <iostream>
#include <utility>

namespace field::cli {

using engine::failure;
using engine::Fault;

namespace {

/// Files written elsewhere end their lines in CR LF.
std::string without_return(std::string line)
{
    while (!line.empty() && line.back() == '\r')
        line.pop_back();
    return line;
}

} // namespace

engine::Result<std::string> secret_from(const std::string& file, const std::string& what)
{
    std::string secret;
    if (!file.empty()) {
        std::ifstream in(file);
        std::getline(in, secret);
        if (!in && secret.empty())
            return failure(Fault::not_found, "The file " + file + " with the " + what + " cannot be read.");
        return without_return(std::move(secret));
    }
    termios    before{};
    const bool terminal = ::tcgetattr(STDIN_FILENO, &before) == 0;
    if (terminal) {
        std::cerr << what << ": " << std::flush;
        termios silent = before;
        silent.c_lflag &= ~static_cast<tcflag_t>(ECHO);
        ::tcsetattr(STDIN_FILENO, TCSANOW, &silent);
    }
    std::getline(std::cin, secret);
    if (terminal) {
        ::tcsetattr(STDIN_FILENO, TCSANOW, &before);
        std::cerr << '\n';
    }
    secret = without_return(std::move(secret));
    if (secret.empty()) return failure(Fault::bad_input, "No " + what + " was given.");
    return secret;
}

void take_pin(CLI::App& command, PinSource& source)
{
    command.add_option("--pin-file", source.file,
                       "file whose first line is the PIN; without it, it is asked for or read from standard "
                       "input");
    command.add_option("--pin", source.on_the_line)->group(""); // only to say why not
}

engine::Result<std::string> pin_from(const PinSource& source, const std::string& badge)
{
    if (!source.on_the_line.empty())
        return failure(Fault::bad_input,
                       "A PIN on the command line can be read by everybody on this machine, so it is not "
                       "taken; give --pin-file FILE, type it when it is asked for, or hand it in on standard "
                       "input.");
    return secret_from(source.file, "PIN of badge " + badge);
}

} // namespace field::cli
