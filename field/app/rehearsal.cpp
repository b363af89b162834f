#include "field/app/rehearsal.h"

#include "field/app/stage.h"

#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <csignal>
#include <cstring>
#include <fstream>
#include <iostream>

namespace field::app {

using engine::failure;
using engine::Fault;

namespace {

struct Command {
    const char* name;
    bool        takes_text;
};
constexpr std::array kCommands{Command{"settle", false}, Command{"tap", true},    Command{"type", true},
                               Command{"send", true},    Command{"turn", true},   Command{"photo", false},
                               Command{"expect", true},  Command{"absent", true}, Command{"off", true},
                               Command{"shot", true},    Command{"wait", true},   Command{"exchange", false},
                               Command{"kill", false},   Command{"include", true}};

std::string place_of(const ScriptLine& line)
{
    return line.file + ":" + std::to_string(line.number);
}

engine::Status check(const ScriptLine& line)
{
    const auto known = std::find_if(kCommands.begin(), kCommands.end(),
                                    [&](const Command& c) { return line.command == c.name; });
    if (known == kCommands.end())
        return failure(Fault::bad_input, place_of(line) + ": '" + line.command +
                                             "' is not a command of a script; see rehearse --help.");
    if (known->takes_text && line.rest.empty())
        return failure(Fault::bad_input,
                       place_of(line) + ": '" + line.command + "' needs something after it.");
    return engine::Unit{};
}

engine::Status read_into(const std::filesystem::path& file, int depth, std::vector<ScriptLine>& lines)
{
    if (depth > 8)
        return failure(Fault::bad_input, file.string() + " is included by itself; take one include out.");
    std::ifstream in(file);
    if (!in) return failure(Fault::not_found, "There is no script " + file.string() + ".");
    int number = 0;
    for (std::string text; std::getline(in, text);) {
        ++number;
        const std::size_t first = text.find_first_not_of(" \t\r");
        if (first == std::string::npos || text[first] == '#') continue;
        const std::size_t last = text.find_last_not_of(" \t\r");
        text                   = text.substr(first, last - first + 1);
        const std::size_t gap  = text.find(' ');
        ScriptLine        line{file.filename().string(), number, text.substr(0, gap),
                        gap == std::string::npos ? "" : text.substr(text.find_first_not_of(' ', gap))};
        if (auto good = check(line); !good) return good;
        if (line.command == "include") {
            if (auto good = read_into(file.parent_path() / line.rest, depth + 1, lines); !good) return good;
        } else {
            lines.push_back(std::move(line));
        }
    }
    return engine::Unit{};
}

/// What a stretch hands to the next one across its death.
struct Baton {
    std::size_t  next_line = 0;
    std::int64_t wall_ms   = 0;
    bool         killed    = false;
    bool         faulty    = false; ///< faults were told before
    int          taps      = 0;     ///< of the stretches before
};

void tell_faults(const Stage& stage)
{
    for (const std::string& fault : stage.faults())
        std::cerr << "witnessmark: " << fault << '\n';
}

std::string numbered(std::size_t line)
{
    const std::string digits = std::to_string(line);
    return std::string(digits.size() < 4 ? 4 - digits.size() : 0, '0') + digits;
}

/// Plays from a line on, in this process. Returns an exit code; a `kill` does not return.
int play(const std::vector<ScriptLine>& script, const RehearsalSetup& setup, Baton baton, int pipe_out)
{
    auto stage = Stage::open(setup, baton.wall_ms);
    if (!stage) {
        std::cerr << "witnessmark: " << stage.error().message << '\n';
        return 2;
    }
    for (std::size_t i = baton.next_line; i < script.size(); ++i) {
        if (script[i].command == "kill") {
            tell_faults(**stage);
            const Baton dying{i + 1, (*stage)->wall_ms(), true, baton.faulty || !(*stage)->faults().empty(),
                              baton.taps + (*stage)->taps()};
            if (::write(pipe_out, &dying, sizeof dying) != static_cast<ssize_t>(sizeof dying)) return 2;
            (void)::raise(SIGKILL);
        }
        if (const auto done = (*stage)->perform(script[i].command, script[i].rest); !done) {
            tell_faults(**stage);
            std::cerr << "witnessmark: " << place_of(script[i]) << ": " << done.error().message << '\n';
            return 1;
        }
        (*stage)->judge(place_of(script[i]));
        if (!setup.every) continue;
        if (const auto drawn = (*stage)->shot(numbered(i + 1)); !drawn) {
            std::cerr << "witnessmark: " << drawn.error().message << '\n';
            return 2;
        }
    }
    tell_faults(**stage);
    std::cout << script.size() << " lines played, " << baton.taps + (*stage)->taps() << " taps\n";
    return (*stage)->faults().empty() && !baton.faulty ? 0 : 1;
}

} // namespace

engine::Result<std::vector<ScriptLine>> read_script(const std::filesystem::path& file)
{
    std::vector<ScriptLine> lines;
    if (auto good = read_into(file, 0, lines); !good) return good.failure();
    return lines;
}

engine::Status rehearse(const std::vector<ScriptLine>& script, const RehearsalSetup& setup)
{
    Baton baton{0, setup.start_wall_ms};
    while (true) {
        std::array<int, 2> ends{};
        if (::pipe(ends.data()) != 0)
            return failure(Fault::io, "A pipe could not be made.", std::strerror(errno));
        std::cout.flush();
        const pid_t child = ::fork();
        if (child < 0) return failure(Fault::io, "A process could not be started.", std::strerror(errno));
        if (child == 0) {
            ::close(ends[0]);
            const int code = play(script, setup, baton, ends[1]);
            std::cout.flush();
            std::cerr.flush();
            ::_exit(code);
        }
        ::close(ends[1]);
        Baton      next;
        const bool heard = ::read(ends[0], &next, sizeof next) == static_cast<ssize_t>(sizeof next);
        ::close(ends[0]);
        int status = 0;
        ::waitpid(child, &status, 0);
        if (heard && next.killed && WIFSIGNALED(status)) {
            baton = next;
            continue;
        }
        if (WIFEXITED(status) && WEXITSTATUS(status) == 0) return engine::Unit{};
        if (WIFEXITED(status) && WEXITSTATUS(status) == 2)
            return failure(Fault::bad_input, "The rehearsal could not start.");
        return failure(Fault::refused, "The rehearsal did not come to its end.");
    }
}

} // namespace field::app
