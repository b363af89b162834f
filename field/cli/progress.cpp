#include "field/cli/progress.h"

#include <csignal>
#include <iostream>

namespace field::cli {
namespace {

volatile std::sig_atomic_t asked = 0;

void ask_to_stop(int)
{
    asked = 1;
}

} // namespace

bool stop_asked()
{
    return asked != 0;
}

StopOnCtrlC::StopOnCtrlC()
{
    asked   = 0;
    before_ = std::signal(SIGINT, ask_to_stop);
}

StopOnCtrlC::~StopOnCtrlC()
{
    (void)std::signal(SIGINT, before_);
}

Progress::~Progress()
{
    if (shown_ && told_) std::cerr << "\r\033[K" << std::flush;
}

bool Progress::operator()(std::size_t done, std::size_t all)
{
    const auto now = std::chrono::steady_clock::now();
    done_ = done, all_ = all;
    if (shown_ && (!told_ || now - last_ > std::chrono::milliseconds(200))) {
        std::cerr << '\r' << reached() << std::flush;
        last_ = now;
        told_ = true;
    }
    return asked == 0;
}

std::string Progress::reached() const
{
    return std::to_string(done_) + " of " + std::to_string(all_) + " " + of_what_;
}

} // namespace field::cli
