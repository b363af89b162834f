#pragma once
// The fields around what is said: FORMAT.md section 2. Private to engine/book.
#include "engine/book/entry.h"

namespace engine {

/// All fields that are not "left out when" by the table; `d` is `{}` when there is no body.
[[nodiscard]] nlohmann::json write_envelope(const Entry& entry);

/// Faults: unsupported (v above 1), bad_input naming the key that is missing, unknown or not as the table
/// says. Sets neither id nor line.
[[nodiscard]] Result<Entry> read_envelope(nlohmann::json value);

} // namespace engine
