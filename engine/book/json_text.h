#pragma once
// One look that bodies are given everywhere.
#include <nlohmann/json.hpp>

#include <string>

namespace engine {

/// The text under a key; empty when there is no such key, or no text there.
[[nodiscard]] inline std::string text_in(const nlohmann::json& body, const char* key)
{
    const auto at = body.find(key);
    return at != body.end() && at->is_string() ? at->get<std::string>() : std::string();
}

} // namespace engine
