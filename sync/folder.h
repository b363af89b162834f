#pragma once
// The seam to the shared folder. Paths are relative to the share, parts joined by '/'. Nothing is ever
// overwritten or deleted through it, temporary files of the own machine excepted.
#include "engine/base/result.h"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace share {

struct FolderItem {
    enum class Sort { file, folder, other }; ///< other: link, pipe, device - never opened
    std::string name;
    Sort        sort = Sort::other;
};

class Folder {
  public:
    virtual ~Folder() = default;
    /// What lies in a folder, in no order, at most `most` + 1 items. Faults: not_found, io.
    [[nodiscard]] virtual engine::Result<std::vector<FolderItem>> list(const std::string& path,
                                                                       std::size_t        most) = 0;
    /// A whole plain file. Faults: not_found, bad_input (no plain file, or behind a link), out_of_range
    /// (longer than `most`), io.
    [[nodiscard]] virtual engine::Result<std::vector<unsigned char>> read(const std::string& path,
                                                                          std::size_t        most) = 0;
    /// Under a temporary name, durable, renamed, read back: FORMAT.md section 5. `writer` is the devid16. The
    /// folders above are made. Same bytes there already: success. Faults: conflict (other bytes stand there,
    /// left alone), io, no_space, not_found (share gone).
    [[nodiscard]] virtual engine::Status
    write_new(const std::string& path, std::span<const unsigned char> bytes, const std::string& writer) = 0;
    /// A file of the own machine that was never finished; other names are refused (bad_input).
    [[nodiscard]] virtual engine::Status remove_temporary(const std::string& path,
                                                          const std::string& writer) = 0;
};

} // namespace share
