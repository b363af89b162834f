#pragma once
// Names of choices as books hold them, for ever: FORMAT.md section 5. Apart from the names a screen or a CSV
// shows, which may change. Private to engine/book.
#include "engine/catalogue/catalogue.h"

#include <optional>
#include <string>

namespace engine {

[[nodiscard]] std::string spelling_of(Mount mount);
[[nodiscard]] std::string spelling_of(Hold role);
[[nodiscard]] std::string spelling_of(Role role);
[[nodiscard]] std::string spelling_of(Tool tool);
[[nodiscard]] std::string spelling_of(UnitOf unit);

[[nodiscard]] std::optional<Mount>  mount_spelled(const std::string& text);
[[nodiscard]] std::optional<Hold>   hold_spelled(const std::string& text);
[[nodiscard]] std::optional<Role>   role_spelled(const std::string& text);
[[nodiscard]] std::optional<Tool>   tool_spelled(const std::string& text);
[[nodiscard]] std::optional<UnitOf> unit_spelled(const std::string& text);

} // namespace engine
