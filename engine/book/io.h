#pragma once
// The seam every durable write passes, so that tests can stop, tear or refuse any of them.
#include "engine/base/result.h"
#include "engine/book/posix_file.h"

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace engine {

class Io {
  public:
    virtual ~Io() = default;
    /// Writes `bytes` under a temporary name in the same folder, fsyncs, renames to `file`, fsyncs the
    /// folder. Afterwards the file is whole and durable or not there. Existing file: left alone and success
    /// (content-named).
    [[nodiscard]] virtual Status write_whole(const std::filesystem::path&   file,
                                             std::span<const unsigned char> bytes) = 0;
    /// From `offset` on the file holds `bytes` and nothing behind them (made when it is not there). With
    /// `durable` it is fsynced, and so is the folder of a new file. `held` keeps it open for the next call:
    /// opened and closed at every line, it makes each sync of the book's log a third slower.
    [[nodiscard]] virtual Status write_tail(const std::filesystem::path& file, OpenFile& held,
                                            std::uint64_t offset, std::string_view bytes, bool durable) = 0;
    /// Faults: not_found, out_of_range (longer than `most`), io.
    [[nodiscard]] virtual Result<std::vector<unsigned char>> read_whole(const std::filesystem::path& file,
                                                                        std::size_t most) const = 0;
    [[nodiscard]] virtual Status
    make_folder(const std::filesystem::path& folder) = 0; ///< with parents, synced
    /// A file of that length that really holds its place on the disk. Faults: no_space, io.
    [[nodiscard]] virtual Status reserve(const std::filesystem::path& file, std::uint64_t bytes);
    /// Gone afterwards; not there before is no fault. Faults: io.
    [[nodiscard]] virtual Status remove(const std::filesystem::path& file);
    /// Room left for this program where `folder` lies. Faults: io.
    [[nodiscard]] virtual Result<std::uint64_t> free_bytes(const std::filesystem::path& folder) const;
};

[[nodiscard]] Io& disk_io(); ///< the real one

} // namespace engine
