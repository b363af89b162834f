#pragma once
// A head: how far a machine's record went, signed, in the text form of a C2SP checkpoint. FORMAT.md
// section 3.
#include "engine/book/seal.h"
#include "sync/names.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace share {

inline constexpr std::size_t kLargestHead = 4096;

struct Head {
    std::string                 plant;
    std::string                 dev; ///< 64 hex
    std::uint64_t               size = 0;
    std::string                 id;                  ///< of entry number `size`
    std::optional<engine::Hash> root = std::nullopt; ///< none in a head of the first form
};
struct HeadFile {
    HeadName                   name;
    std::vector<unsigned char> bytes;
};
/// With a root: a checkpoint. Without: the first form, which is read for ever but written no more.
[[nodiscard]] HeadFile make_head(const Head& head, const engine::MachineKey& key);

/// Faults: corrupt (hash, form), bad_signature, bad_input (name or folder does not fit what is inside).
[[nodiscard]] engine::Result<Head> open_head(std::span<const unsigned char> bytes, const HeadName& name,
                                             const std::string& devid);

} // namespace share
