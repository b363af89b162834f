// CPU while nobody touches the glass.
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <sstream>
#include <thread>

#include "tests/bench/benches.h"
#include "tests/bench/figures.h"
#include "tests/bench/glass.h"

namespace bench {
namespace {

using namespace std::chrono_literals;

constexpr double kIdle_percent = 1.0;
constexpr auto   kRest         = 10s;

/// CPU seconds of a running process, all threads: fields 14 and 15 of /proc/PID/stat (proc(5)).
double cpu_of(pid_t pid)
{
    std::ifstream in("/proc/" + std::to_string(pid) + "/stat");
    std::string   all((std::istreambuf_iterator<char>(in)), {});
    const auto    behind_name = all.rfind(')');
    if (behind_name == std::string::npos) return -1;
    std::istringstream rest(all.substr(behind_name + 2));
    std::string        field;
    double             ticks = 0;
    for (int number = 3; rest >> field && number <= 15; ++number)
        if (number >= 14) ticks += std::strtod(field.c_str(), nullptr);
    return ticks / static_cast<double>(sysconf(_SC_CLK_TCK));
}

} // namespace

bool idle_offscreen(const std::filesystem::path& book)
{
    heading("at rest for 10 s");
    return apart([&] {
        Glass glass(book, true);
        glass.frames(5);
        const double before = cpu_seconds();
        const auto   start  = Steady::now();
        int          drawn  = 0;
        while (Steady::now() - start <
               kRest) { // as app::run: wait for an event, at most as long as the app says
            if (!glass.shell().poll(glass.app().patience())) {
                const auto left = kRest - (Steady::now() - start);
                std::this_thread::sleep_for(std::min<Steady::duration>(glass.app().patience(), left));
            }
            glass.frame();
            ++drawn;
        }
        const double used = cpu_seconds() - before;
        tell("frames drawn", drawn, "");
        return show({"CPU, app without a window", 100 * used * 1000 / ms_since(start), "%", kIdle_percent});
    });
}

bool idle_window(const std::filesystem::path& book)
{
    if (std::getenv("DISPLAY") == nullptr) {
        heading("no DISPLAY: the real window is not measured");
        return true;
    }
    const pid_t child = ::fork();
    if (child == 0) {
        const int nowhere = ::open("/dev/null", O_WRONLY);
        ::dup2(nowhere, STDERR_FILENO);
        ::execl(WM_PROGRAM, WM_PROGRAM, "--book", book.c_str(), "--camera", "test", nullptr);
        ::_exit(127);
    }
    std::this_thread::sleep_for(4s);
    const double before = cpu_of(child);
    const auto   start  = Steady::now();
    std::this_thread::sleep_for(kRest);
    const double used    = cpu_of(child) - before;
    const double percent = 100 * used * 1000 / ms_since(start);
    int          status  = 0;
    const bool   lived   = ::waitpid(child, &status, WNOHANG) == 0;
    if (lived) {
        ::kill(child, SIGTERM);
        ::waitpid(child, &status, 0);
    }
    if (!lived) give_up("the window did not stay open");
    return show({"CPU, real window", percent, "%", kIdle_percent});
}

} // namespace bench
