#pragma once
// The fields around what is said: FORMAT.md section 2. Private to engine/book.
#include "engine/book/entry.h"

namespace engine {

/// All fields that are not "left out when" by the table; `d` is `{}` when there is no body.
[[nodiscard]] nlohmann::json write_envelope(const Entry& entry);

/// The entry a canonical text holds, without `line`; what it says is not taken apart yet. Faults: bad_input
/// (no JSON, not the one canonical form, or the key that is missing, unknown or not as the table says),
/// unsupported (v above 1).
[[nodiscard]] Result<Entry> read_envelope(std::string_view text);

} // namespace engine
