#pragma once
// Times, percentiles and the table of a bench. Limits are measured in the same run: only the ratio travels
// from one machine to another.
#include <chrono>
#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace bench {

using Steady = std::chrono::steady_clock;

[[nodiscard]] double ms_since(Steady::time_point start);

struct Spread { ///< milliseconds
    double p50_ms = 0, p99_ms = 0, max_ms = 0;
};
[[nodiscard]] Spread spread_of(std::vector<double> times_ms);
[[nodiscard]] double median(std::vector<double> values);

/// Median of each figure over the rounds.
[[nodiscard]] Spread median_of(const std::vector<Spread>& rounds);

/// One line of the table; `bar` is what the figure must not pass (at_most) or must reach.
struct Line {
    std::string name;
    double      figure = 0;
    std::string unit;
    double      bar     = 0;    ///< 0: no bar, told only
    bool        at_most = true; ///< false: at least
};
/// Prints the line; false when it misses its bar.
bool show(const Line& line);
void heading(const std::string& text);
/// A figure without a bar, such as the limit itself.
void tell(const std::string& name, double figure, const std::string& unit);

/// Resident memory of this process now and at its highest, MB (10^6 bytes).
struct Resident {
    double now_mb = 0, most_mb = 0;
};
[[nodiscard]] Resident resident();

/// CPU time this process has used, all threads, seconds.
[[nodiscard]] double cpu_seconds();

/// Load of the machine over 1, 5 and 15 minutes, as text.
[[nodiscard]] std::string load_now();

/// Whether a program of that name can be found.
[[nodiscard]] bool has_program(const std::string& name);
/// Seconds a shell command takes; stops the bench when it fails.
[[nodiscard]] double seconds_of(const std::string& command);

/// Signatures a second of libsodium alone, on messages of that length, one thread.
[[nodiscard]] double bare_verify_rate(std::size_t message_bytes);

/// Runs `work` in a process of its own, so that its memory is its own. False when it fails or dies.
[[nodiscard]] bool apart(const std::function<bool()>& work);

/// Stops the bench with a sentence when something that must work did not.
[[noreturn]] void give_up(const std::string& what);

} // namespace bench
