#pragma once
// A disk that loses its power at any operation: the same model under sqlite (a VFS shim) and under the Io
// seam. Every write is pending until its file is synced; at the crash, what is pending survives in one of
// several ways.
#include "engine/book/io.h"

#include <cstdint>
#include <map>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace trust {

/// What becomes of writes that were not synced.
enum class Damage {
    dropped,   ///< none of them reached the disk
    reordered, ///< any of them did, in any mix
    torn,      ///< all up to one, and of that one some sectors of 512 bytes
    nul_tail,  ///< the file has its length, but the new bytes are zeros
    kept       ///< all of them (a kill, not a power loss)
};

/// One disk at a time: sqlite's shim finds it here.
class FaultyDisk {
  public:
    FaultyDisk();
    ~FaultyDisk();
    FaultyDisk(const FaultyDisk&)            = delete;
    FaultyDisk& operator=(const FaultyDisk&) = delete;

    bool        lies   = false; ///< says yes to every sync and does nothing
    std::size_t die_at = 0;     ///< this operation and all later ones fail; 0: none does

    [[nodiscard]] std::size_t operations() const { return operations_; }
    [[nodiscard]] bool        dead() const { return dead_; }
    [[nodiscard]] engine::Io& io() { return *io_; }

    /// Files as they lie in `folder` now count as durable.
    void adopt(const std::filesystem::path& folder);
    /// The disk after the crash, written out as `to`; files of `from` this disk never saw written are copied.
    void power_on(const std::filesystem::path& from, const std::filesystem::path& to, Damage damage,
                  unsigned seed) const;

    // For the shims. True: the power is gone.
    bool wrote(const std::string& path, std::uint64_t offset, std::string_view bytes);
    bool cut(const std::string& path, std::uint64_t size);
    bool synced(const std::string& path);
    bool removed(const std::string& path);
    bool renamed(const std::string& from, const std::string& to);

    static FaultyDisk* current();

  private:
    struct Pending {
        std::uint64_t offset = 0;
        std::string   bytes;
        bool          cut = false;
    };
    struct File {
        std::string          durable;
        std::vector<Pending> pending;
    };
    bool               step();
    static void        apply(std::string& text, const Pending& change);
    static std::string after(const File& file, Damage damage, std::mt19937& random);

    std::map<std::string, File> files_;
    std::size_t                 operations_ = 0;
    bool                        dead_       = false;
    std::unique_ptr<engine::Io> io_;
};

} // namespace trust
