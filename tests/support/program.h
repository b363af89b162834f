#pragma once
// The program as a user starts it: one command line, what it said and how it ended.
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace support {

struct Ran {
    int         code = -1; ///< exit code; -1: it did not end by itself
    std::string out;       ///< standard output
    std::string says;      ///< standard output, then standard error
};

inline std::string text_of(const std::filesystem::path& file)
{
    std::ostringstream text;
    text << std::ifstream(file).rdbuf();
    return text.str();
}

/// A shell command; WM_PROGRAM is the program under test. `folder` takes what it says.
inline Ran run_shell(const std::string& command, const std::filesystem::path& folder)
{
    const auto out    = folder / "said.out";
    const auto errors = folder / "said.err";
    const int  status =
        std::system(("( " + command + " ) > '" + out.string() + "' 2> '" + errors.string() + "'").c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, text_of(out), text_of(out) + text_of(errors)};
}

inline Ran run(const std::string& arguments, const std::filesystem::path& folder)
{
    return run_shell(std::string(WM_PROGRAM) + " " + arguments, folder);
}

inline bool says(const Ran& ran, const std::string& words)
{
    return ran.says.find(words) != std::string::npos;
}

} // namespace support
