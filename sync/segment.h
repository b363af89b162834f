#pragma once
// A segment: consecutive lines of one machine in one file. FORMAT.md section 2.
#include "engine/book/entry.h"
#include "sync/names.h"

#include <set>
#include <span>
#include <string>
#include <vector>

namespace share {

inline constexpr std::size_t kMostEntries    = 512;
inline constexpr std::size_t kMostBytes      = std::size_t{256} * 1024;  ///< as written
inline constexpr std::size_t kLargestSegment = std::size_t{1024} * 1024; ///< as read

/// How a file of the folder stands with this machine: FORMAT.md section 6.
enum class State { ok, waiting, unfinished, refused, fork };

struct Segment {
    SegmentName                name;
    std::vector<unsigned char> bytes;
};
/// The first lines of `entries` (in sequence order, not empty) that one segment may hold.
[[nodiscard]] Segment cut_segment(const std::vector<engine::Entry>& entries);

/// A segment as read. Entries are there with State::ok only.
struct OpenedSegment {
    State                      state = State::ok;
    std::string                code;     ///< "R06"; empty when ok
    std::string                sentence; ///< what is wrong, without the machine's name in front
    std::string                sha256;   ///< of the bytes met
    bool                       hash_fits = false;
    std::vector<engine::Entry> entries;
};
/// Hash, signatures, canonical form, machine, plant, numbers and the chain inside. Touches nothing but its
/// arguments. `plant` empty: any one plant. A file whose whole SHA-256 (hex) is in `proved` was opened with
/// these very bytes before: its signatures are not verified again.
[[nodiscard]] OpenedSegment open_segment(std::span<const unsigned char> bytes, const SegmentName& name,
                                         const std::string& devid, const std::string& plant,
                                         const std::set<std::string>* proved = nullptr);

/// Photos an entry names: `d.sha256` and each of `d.photos` (engine/book/FORMAT.md section 4).
[[nodiscard]] std::vector<std::string> photos_of(const engine::Entry& entry);

/// "entry 7" or "entries 7 to 9"
[[nodiscard]] std::string entries_text(std::uint64_t first, std::uint64_t last);

} // namespace share
