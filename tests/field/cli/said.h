#pragma once
// Runs one command in this process and keeps what it said.
#include "field/cli/run.h"

#include <iostream>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

namespace support {

struct Said {
    int         code = 0;
    std::string out, err;
};

class Redirect {
  public:
    Redirect(std::ostream& stream, std::ostringstream& into)
        : stream_(stream), old_(stream.rdbuf(into.rdbuf()))
    {
    }
    Redirect(const Redirect&)            = delete;
    Redirect& operator=(const Redirect&) = delete;
    ~Redirect() { stream_.rdbuf(old_); }

  private:
    std::ostream&   stream_;
    std::streambuf* old_;
};

/// One word an argument.
inline Said run(std::vector<std::string> words)
{
    words.insert(words.begin(), "witnessmark");
    std::vector<char*> argv;
    argv.reserve(words.size());
    for (std::string& word : words)
        argv.push_back(word.data());
    std::ostringstream out;
    std::ostringstream err;
    const Redirect     to_out(std::cout, out);
    const Redirect     to_err(std::cerr, err);
    const int          code = field::cli::run(static_cast<int>(argv.size()), argv.data());
    return {code, out.str(), err.str()};
}

/// Words are parted by blanks.
inline Said say(const std::string& line)
{
    std::istringstream       parts(line);
    std::vector<std::string> words;
    for (std::string word; parts >> word;)
        words.push_back(word);
    return run(std::move(words));
}

} // namespace support
