#include "tests/bench/figures.h"

#include <sodium.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <fstream>

namespace bench {

double ms_since(Steady::time_point start)
{
    return std::chrono::duration<double, std::milli>(Steady::now() - start).count();
}

Spread spread_of(std::vector<double> times_ms)
{
    if (times_ms.empty()) return {};
    std::sort(times_ms.begin(), times_ms.end());
    const auto at = [&](std::size_t percent) { return times_ms[(times_ms.size() - 1) * percent / 100]; };
    return {at(50), at(99), times_ms.back()};
}

double median(std::vector<double> values)
{
    return spread_of(std::move(values)).p50_ms;
}

Spread median_of(const std::vector<Spread>& rounds)
{
    const auto of = [&](double Spread::*part) {
        std::vector<double> values;
        for (const Spread& round : rounds)
            values.push_back(round.*part);
        return median(values);
    };
    return {of(&Spread::p50_ms), of(&Spread::p99_ms), of(&Spread::max_ms)};
}

bool show(const Line& line)
{
    const bool good = line.at_most ? line.figure <= line.bar : line.figure >= line.bar;
    std::printf("  %-58s %10.3f %-9s %s %8.3f  %s\n", line.name.c_str(), line.figure, line.unit.c_str(),
                line.at_most ? "at most " : "at least", line.bar, good ? "good" : "MISSED");
    return good;
}

void heading(const std::string& text)
{
    std::printf("\n%s\n", text.c_str());
    std::fflush(stdout);
}

void tell(const std::string& name, double figure, const std::string& unit)
{
    std::printf("  %-58s %10.3f %s\n", name.c_str(), figure, unit.c_str());
}

Resident resident()
{
    std::ifstream in("/proc/self/status");
    Resident      found;
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with("VmRSS:")) found.now_mb = std::strtod(line.c_str() + 6, nullptr) * 1024 / 1e6;
        if (line.starts_with("VmHWM:")) found.most_mb = std::strtod(line.c_str() + 6, nullptr) * 1024 / 1e6;
    }
    return found;
}

double cpu_seconds()
{
    rusage used{};
    getrusage(RUSAGE_SELF, &used);
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6;
    };
    return seconds(used.ru_utime) + seconds(used.ru_stime);
}

std::string load_now()
{
    std::ifstream in("/proc/loadavg");
    std::string   one, five, fifteen;
    in >> one >> five >> fifteen;
    return one + " " + five + " " + fifteen;
}

bool has_program(const std::string& name)
{
    return std::system(("command -v " + name + " > /dev/null 2>&1").c_str()) == 0;
}

double seconds_of(const std::string& command)
{
    const auto start = Steady::now();
    if (std::system(command.c_str()) != 0) give_up("this failed: " + command);
    return ms_since(start) / 1000;
}

double bare_verify_rate(std::size_t message_bytes)
{
    constexpr int kTimes = 4000;
    if (sodium_init() < 0) give_up("libsodium does not start");
    std::array<unsigned char, crypto_sign_PUBLICKEYBYTES> open{};
    std::array<unsigned char, crypto_sign_SECRETKEYBYTES> secret{};
    std::array<unsigned char, crypto_sign_BYTES>          signature{};
    const std::vector<unsigned char>                      message(message_bytes, 'x');
    crypto_sign_keypair(open.data(), secret.data());
    crypto_sign_detached(signature.data(), nullptr, message.data(), message.size(), secret.data());
    const auto start = Steady::now();
    int        wrong = 0;
    for (int i = 0; i < kTimes; ++i)
        wrong +=
            crypto_sign_verify_detached(signature.data(), message.data(), message.size(), open.data()) != 0;
    if (wrong != 0) give_up("libsodium refuses its own signature");
    return kTimes / ms_since(start) * 1000;
}

bool apart(const std::function<bool()>& work)
{
    std::fflush(stdout);
    const pid_t child = ::fork();
    if (child < 0) return false;
    if (child == 0) {
        const bool good = work();
        std::fflush(stdout);
        ::_exit(good ? 0 : 1);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

void give_up(const std::string& what)
{
    std::fflush(stdout);
    std::fprintf(stderr, "bench: %s\n", what.c_str());
    std::_Exit(2);
}

} // namespace bench
