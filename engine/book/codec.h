#pragma once
// Canonical bytes: FORMAT.md section 1. Verify, then decode: `open_line` is the only way from bytes to an
// Entry.
#include "engine/book/entry.h"
#include "engine/book/seal.h"

#include <string_view>

namespace engine {

inline constexpr std::size_t kLongestLine =
    std::size_t{16} * 1024; ///< canonical JSON bytes, FORMAT.md section 1
inline constexpr int kDeepest = 6;

/// Canonical JSON (RFC 8785 subset: sorted keys `[a-z0-9_]{1,24}`, no spaces, integers |n| < 2^53, no
/// floats, no null) or Fault::bad_input naming the first key that breaks the profile.
[[nodiscard]] Result<std::string> canonical(const nlohmann::json& value, std::size_t most = kLongestLine);

/// JSON that is in its one canonical form, at most `most` bytes. Fault::bad_input.
[[nodiscard]] Result<std::shared_ptr<const nlohmann::json>> parse_canonical(std::string_view text,
                                                                            std::size_t      most);

/// Signature, profile and hash. Faults: corrupt (cut short, not hex), bad_input (not canonical), unsupported
/// (newer format), bad_signature. Does not look at chain or roster.
[[nodiscard]] Result<Entry> open_line(std::string_view line);

/// `open_line` of each, in their order, by several threads where there are many: signatures are what it
/// takes. `threads` 0: as many as the machine can spare.
[[nodiscard]] std::vector<Result<Entry>> open_lines(std::span<const std::string_view> lines,
                                                    unsigned                          threads = 0);

/// As `open_line` without the signature check, for lines this machine's store already verified on the way in.
[[nodiscard]] Result<Entry> read_trusted_line(std::string_view line);

/// Builds canonical JSON, id and signed line from the envelope fields of `entry` (dev, seq, prev, clocks,
/// said); sets `plant`. An entry this function makes is one `open_line` takes.
[[nodiscard]] Status seal_entry(Entry& entry, const MachineKey& key, const std::string& plant);

} // namespace engine
