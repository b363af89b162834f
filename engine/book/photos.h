#pragma once
// Photos by content hash in a folder beside the book: blob/ab/<sha256>.jpg. Bytes as taken, never changed.
#include "engine/book/io.h"
#include "engine/book/seal.h"

#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace engine {

struct PhotoInfo {
    std::string sha256; ///< hex
    int         width = 0, height = 0;
    std::size_t bytes = 0;
};

inline constexpr std::size_t kLargestPhoto = std::size_t{32} * 1024 * 1024;

class PhotoStore {
  public:
    explicit PhotoStore(std::filesystem::path folder, Io& io);

    /// Checks that it is a whole JPEG (ends in EOI, decodes fully), writes temp + fsync + rename + folder
    /// fsync, then returns. Same bytes twice: no second file. Faults: corrupt (not a whole JPEG),
    /// out_of_range (too large), io, no_space.
    [[nodiscard]] Result<PhotoInfo> keep(std::span<const unsigned char> jpeg);
    /// As `keep`; on a full disk the book's ballast is given up for it, once. For the step in hand only.
    [[nodiscard]] Result<PhotoInfo> keep_at_any_cost(std::span<const unsigned char> jpeg);
    /// The file goes, the entry that names it stays. Only Book::let_go and what has just read the folder's
    /// copy call it.
    [[nodiscard]] Status remove(const std::string& sha256);
    [[nodiscard]] Result<std::vector<unsigned char>>
    read(const std::string& sha256) const; ///< re-hashed; corrupt if it differs
    /// True too where the disk does not say: reading it then tells.
    [[nodiscard]] bool                  has(const std::string& sha256) const;
    [[nodiscard]] std::filesystem::path path_of(const std::string& sha256) const;

  private:
    std::filesystem::path folder_;
    Io*                   io_;
};

/// Whole-JPEG check on its own: size, or Fault::corrupt with what is wrong.
[[nodiscard]] Result<PhotoInfo> inspect_jpeg(std::span<const unsigned char> jpeg);

} // namespace engine
