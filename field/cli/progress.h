#pragma once
// How far a long command is, and Ctrl-C that ends it in order.
#include <chrono>
#include <cstddef>
#include <string>

namespace field::cli {

/// Whether Ctrl-C was pressed since the last StopOnCtrlC began.
[[nodiscard]] bool stop_asked();

/// While it lives, Ctrl-C asks to stop at the next piece of work instead of ending the program.
class StopOnCtrlC {
  public:
    StopOnCtrlC();
    StopOnCtrlC(const StopOnCtrlC&)            = delete;
    StopOnCtrlC& operator=(const StopOnCtrlC&) = delete;
    ~StopOnCtrlC();

  private:
    void (*before_)(int);
};

/// "12345 of 200000 entries" on one line of the terminal, a few times a second. False: stop.
class Progress {
  public:
    Progress(bool shown, const char* of_what) : shown_(shown), of_what_(of_what) {}
    Progress(const Progress&)            = delete;
    Progress& operator=(const Progress&) = delete;
    ~Progress();
    bool                      operator()(std::size_t done, std::size_t all);
    [[nodiscard]] std::string reached() const; ///< "12345 of 200000 entries"

  private:
    bool                                  shown_, told_ = false;
    const char*                           of_what_;
    std::size_t                           done_ = 0, all_ = 0;
    std::chrono::steady_clock::time_point last_;
};

} // namespace field::cli
