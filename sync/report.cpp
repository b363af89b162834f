#include "sync/report.h"

#include <algorithm>

namespace share {

std::size_t Report::count(State state) const
{
    return static_cast<std::size_t>(
        std::count_if(findings.begin(), findings.end(), [&](const Finding& f) { return f.state == state; }));
}

const char* state_name(State state)
{
    switch (state) {
    case State::ok:
        return "ok";
    case State::waiting:
        return "waiting";
    case State::unfinished:
        return "unfinished";
    case State::refused:
        return "refused";
    case State::fork:
        return "fork";
    }
    return "";
}

} // namespace share
