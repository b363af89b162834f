#include "field/cli/secret.h"

#include <termios.h>
#include <unistd.h>

#include <fstream>
#include <iostream>

namespace field::cli {

using engine::failure;
using engine::Fault;

engine::Result<std::string> secret_from(const std::string& file, const std::string& what)
{
    std::string secret;
    if (!file.empty()) {
        std::ifstream in(file);
        std::getline(in, secret);
        if (!in && secret.empty())
            return failure(Fault::not_found, "The file " + file + " with the " + what + " cannot be read.");
        return secret;
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
    if (secret.empty()) return failure(Fault::bad_input, "No " + what + " was given.");
    return secret;
}

} // namespace field::cli
