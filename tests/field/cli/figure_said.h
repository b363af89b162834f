#pragma once
// `witnessmark figure ...` run inside the test.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>

#include "tests/field/cli/said.h"

namespace support {

inline Said figure(const std::string& line)
{
    return say("figure " + line);
}

/// The answer as JSON; the command must end well.
inline nlohmann::json figure_json(const std::string& line)
{
    const Said said = figure(line + " --json");
    INFO(line << ": " << said.err);
    REQUIRE(said.code == 0);
    return nlohmann::json::parse(said.out);
}

} // namespace support
