#include "field/cli/enrol_plant.h"

#include "sync/names.h"

#include <nlohmann/json.hpp>
#include <termios.h>
#include <unistd.h>

#include <fstream>
#include <iostream>

namespace field::cli {

using engine::failure;
using engine::Fault;

std::string text_of(const EnrolCode& code)
{
    return (code.person ? "WM1P:" : "WM1:") + code.plant + ":" + code.name + ":" + code.key;
}

engine::Result<EnrolCode> enrol_code(const std::string& text)
{
    EnrolCode         code;
    const std::size_t first = text.find(':');
    const std::size_t last  = text.rfind(':');
    const std::size_t plant = first == std::string::npos ? first : text.find(':', first + 1);
    const std::string head  = text.substr(0, first);
    const bool shaped       = (head == "WM1" || head == "WM1P") && plant != std::string::npos && plant < last;
    if (!shaped)
        return failure(Fault::bad_input, "'" + text +
                                             "' is no enrolment code; `enrol show` prints one, it "
                                             "begins with WM1:.");
    code.person = head == "WM1P";
    code.plant  = text.substr(first + 1, plant - first - 1);
    code.name   = text.substr(plant + 1, last - plant - 1);
    code.key    = text.substr(last + 1);
    if (!engine::is_key(code.key))
        return failure(Fault::bad_input, "The key in the enrolment code is not valid; read the code again.");
    return code;
}

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

engine::Status say(engine::Book& book, const engine::MachineKey& key, const std::string& kind,
                   nlohmann::json body, std::int64_t now_ms)
{
    engine::Statement statement;
    statement.plant = book.plant();
    statement.seq   = book.roster().seq() + 1;
    statement.prev  = book.roster().head();
    statement.kind  = kind;
    statement.at_ms = now_ms;
    statement.body  = std::make_shared<const nlohmann::json>(std::move(body));
    if (engine::Status sealed = engine::seal_statement(statement, key); !sealed) return sealed;
    const auto taken = book.take_statements({statement.line});
    if (!taken) return taken.failure();
    return engine::Unit{};
}

engine::Result<std::string> machine_named(const engine::Book& book, const std::string& text)
{
    std::string found;
    const auto  look = [&](const std::string& dev, const std::string& name) {
        const bool fits = text == dev || text == name || text == share::device_folder(dev);
        if (fits && found != dev) found = found.empty() ? dev : "several";
    };
    for (const auto& [dev, machine] : book.roster().machines())
        look(dev, machine.name);
    for (const auto& machine : book.machines())
        look(machine.dev, machine.name);
    if (found == "several")
        return failure(Fault::bad_input,
                       "More than one machine is called '" + text + "'; name it by its key.");
    if (found.empty()) return failure(Fault::not_found, "No machine '" + text + "' is known in this book.");
    return found;
}

} // namespace field::cli
