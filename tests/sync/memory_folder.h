#pragma once
// A shared folder in memory whose plug can be pulled at any operation.
#include "sync/folder.h"

#include <cstddef>
#include <map>
#include <set>
#include <string>
#include <vector>

/// What stands in the folder when the plug is pulled in the middle of a write.
enum class Pulled {
    nothing,   ///< not even a temporary file
    temporary, ///< a temporary file, cut short
    torn,      ///< the final name with half of the bytes: a file system that lost its last writes
    zeros,     ///< the final name, right length, second half zeros
    whole      ///< all of it, but the writer was not told
};

class MemoryFolder final : public share::Folder {
  public:
    using Bytes = std::vector<unsigned char>;
    std::map<std::string, Bytes> files;
    std::set<std::string>        oddities; ///< links, pipes: listed as other
    std::size_t                  operations = 0;
    std::size_t                  pull_at    = 0; ///< fails from this operation on; 0 never
    Pulled                       pulled     = Pulled::nothing;
    std::set<std::string>        unreadable; ///< one bad place on the disk

    [[nodiscard]] engine::Result<std::vector<share::FolderItem>> list(const std::string& path,
                                                                      std::size_t        most) override;
    [[nodiscard]] engine::Result<std::vector<unsigned char>>     read(const std::string& path,
                                                                      std::size_t        most) override;
    [[nodiscard]] engine::Status write_new(const std::string& path, std::span<const unsigned char> bytes,
                                           const std::string& writer) override;
    [[nodiscard]] engine::Status remove_temporary(const std::string& path,
                                                  const std::string& writer) override;

    void plug_in() { pull_at = 0; }
    /// Paths that hold `part`, sorted.
    [[nodiscard]] std::vector<std::string> with(const std::string& part) const;

  private:
    [[nodiscard]] bool gone() { return ++operations >= pull_at && pull_at != 0; }
};
