#pragma once
// What lies in the shared folder, by name alone.
#include "sync/folder.h"
#include "sync/names.h"

#include <atomic>
#include <map>
#include <string>
#include <vector>

namespace share {

inline constexpr std::size_t kMostNames    = 100'000; ///< in one folder
inline constexpr std::size_t kMostMachines = 10'000;

struct MachineListing {
    std::vector<SegmentName> segments; ///< by first, then the longest, by hash, then the latest copy
    std::vector<HeadName>    heads;    ///< sorted by size
};
struct Listing {
    bool                                          begun  = false; ///< `witnessmark1` is there
    bool                                          readme = false;
    std::map<std::string, MachineListing>         machines;    ///< by devid16
    std::map<std::string, std::vector<PhotoName>> photos;      ///< by sha256, copies in order
    std::vector<RosterName>                       roster;      ///< by number
    std::vector<std::string>                      plants;      ///< ids of the files that name its plant
    std::vector<std::string>                      left_over;   ///< temporary files of `own`, paths
    std::size_t                                   foreign = 0; ///< R13: names that are not ours, links, pipes
    std::size_t                                   files   = 0;
};

/// Faults: io, not_found (share gone). A folder below that is missing or no folder is no fault. `stop` set:
/// comes back early with what it has.
[[nodiscard]] engine::Result<Listing> list_folder(Folder& folder, const std::string& own_devid,
                                                  const std::atomic<bool>* stop = nullptr);

} // namespace share
