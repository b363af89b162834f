#pragma once
// (The namespace is `share`: the C library owns the name `sync`.)
// Names in the shared folder: FORMAT.md section 1.
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace share {

inline constexpr std::string_view kRoot = "witnessmark1"; ///< folder of this format inside the share

/// `devid16` of a public key given as 64 hex; empty when it is none.
[[nodiscard]] std::string device_folder(const std::string& dev);
[[nodiscard]] bool        is_device_folder(std::string_view name);
/// Start of the temporary names of one machine: ".p-<devid16>-".
[[nodiscard]] std::string temporary_prefix(const std::string& devid);

struct SegmentName {
    std::uint64_t first = 0, last = 0;
    std::string   hash32;
    int           copy = 1; ///< 2 to 9 when the first try is damaged
};
struct HeadName {
    std::uint64_t size = 0;
    std::string   hash32;
};
struct RosterName {
    std::uint64_t seq = 0;
    std::string   hash32;
};
struct PhotoName {
    std::string sha256;
    int         copy = 1;
};

/// Number of the folder a file goes into, as text: (`number` - 1) / 4096.
[[nodiscard]] std::string group_of(std::uint64_t number);
[[nodiscard]] bool        is_group(std::string_view name);

/// Paths below the share. Only what these print is what the readers below take.
[[nodiscard]] std::string path_of(const std::string& devid, const SegmentName& name);
[[nodiscard]] std::string path_of(const std::string& devid, const HeadName& name);
[[nodiscard]] std::string path_of(const PhotoName& name);
[[nodiscard]] std::string path_of(const RosterName& name);

inline constexpr int kMostCopies = 9;
/// All names a segment may stand under: its own and those of further tries.
[[nodiscard]] std::vector<std::string> names_of(const std::string& devid, SegmentName name);

[[nodiscard]] std::optional<SegmentName> segment_name(std::string_view file);
[[nodiscard]] std::optional<HeadName>    head_name(std::string_view file);
[[nodiscard]] std::optional<PhotoName>   photo_name(std::string_view file);
[[nodiscard]] std::optional<RosterName>  roster_name(std::string_view file);

} // namespace share
