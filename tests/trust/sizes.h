#pragma once
// How much a run does: small for every change, WM_TRUST=release for a release, WM_TRUST=<factor> in between.
#include <cstdlib>
#include <string>

namespace trust {

/// `small`, or `release` with WM_TRUST=release; otherwise small times the factor given, at most `release`.
inline int size_of_run(int small, int release)
{
    const char* const wish = std::getenv("WM_TRUST"); // NOLINT(concurrency-mt-unsafe): one thread
    if (wish == nullptr || *wish == '\0') return small;
    if (std::string(wish) == "release") return release;
    const int factor = std::atoi(wish); // NOLINT(cert-err34-c): nonsense means one
    const int wanted = small * (factor > 0 ? factor : 1);
    return wanted < release ? wanted : release;
}

} // namespace trust
