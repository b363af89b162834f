#pragma once
// What a pack's files hold: FORMAT.md section 9. Private to sync.
#include "engine/book/book.h"
#include "sync/head.h"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace share::pack {

inline constexpr const char* kContents = "contents.txt"; ///< one signed line: what the others must be
inline constexpr const char* kLines    = "lines.jsonl";
inline constexpr const char* kProofs   = "proofs.jsonl";
inline constexpr const char* kRoster   = "roster.jsonl";
inline constexpr const char* kHead     = "head.txt";
inline constexpr const char* kReadme   = "README.txt";

[[nodiscard]] std::string photo_path(const std::string& sha256); ///< photos/<sha256>.jpg

struct Contents {
    std::string              plant, dev, serial;
    std::int64_t             at_ms = 0;
    std::vector<std::string> jobs;
    std::uint64_t            head_size = 0;
    std::string              lines_sha256, proofs_sha256, roster_sha256, head_sha256;
    std::vector<std::string> photos, missing; ///< hashes
    std::map<std::string, std::string>
        people; ///< badge and role of those the entries name; older packs: none
};
/// "<128 hex signature> SP <canonical JSON> LF".
[[nodiscard]] engine::Result<std::string> sealed(const Contents& contents, const engine::MachineKey& key);
/// Faults: corrupt, bad_input, bad_signature, unsupported (newer format).
[[nodiscard]] engine::Result<Contents> opened(std::string_view line);

/// That entry `seq` of `dev` stands among its first `size`.
struct LineProof {
    std::string               id, dev;
    std::uint64_t             seq = 0, size = 0;
    engine::Hash              root{};
    std::vector<engine::Hash> beside;
};
[[nodiscard]] engine::Result<std::string> text_of(const LineProof& proof); ///< canonical, without LF
[[nodiscard]] engine::Result<LineProof>   proof_in(std::string_view line);

/// What a countersignature or return says of the job as it stood; none for other kinds.
struct Review {
    std::uint64_t count = 0; ///< entries of the job before it
    std::string   root;      ///< over their ids: engine/procedure/RECORD.md
};
[[nodiscard]] std::optional<Review> review_of(const engine::Entry& entry);

/// What a witness entry says of another machine; size 0: no root in it.
struct Witnessed {
    std::string   dev;
    std::uint64_t size = 0;
    engine::Hash  root{};
};
[[nodiscard]] Witnessed witnessed_by(const engine::Entry& entry);

} // namespace share::pack
