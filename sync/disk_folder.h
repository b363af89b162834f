#pragma once
// The shared folder on a disk, a stick or a network share.
#include "sync/folder.h"

#include <filesystem>
#include <utility>

namespace share {

class DiskFolder final : public Folder {
  public:
    enum class Resolve { by_kernel, by_hand }; ///< by_hand: part by part, for systems without openat2

    /// Holds the share open; every path is resolved below it, links are never followed. Faults: not_found,
    /// io.
    [[nodiscard]] static engine::Result<DiskFolder> open(const std::filesystem::path& share,
                                                         Resolve resolve = Resolve::by_kernel);
    DiskFolder(DiskFolder&& other) noexcept
        : root_(std::exchange(other.root_, -1)), resolve_(other.resolve_), name_(std::move(other.name_))
    {
    }
    DiskFolder& operator=(DiskFolder&& other) noexcept
    {
        std::swap(root_, other.root_);
        std::swap(resolve_, other.resolve_);
        std::swap(name_, other.name_);
        return *this;
    }
    DiskFolder(const DiskFolder&)            = delete;
    DiskFolder& operator=(const DiskFolder&) = delete;
    ~DiskFolder() override;

    [[nodiscard]] engine::Result<std::vector<FolderItem>>    list(const std::string& path,
                                                                  std::size_t        most) override;
    [[nodiscard]] engine::Result<std::vector<unsigned char>> read(const std::string& path,
                                                                  std::size_t        most) override;
    [[nodiscard]] engine::Status write_new(const std::string& path, std::span<const unsigned char> bytes,
                                           const std::string& writer) override;
    [[nodiscard]] engine::Status remove_temporary(const std::string& path,
                                                  const std::string& writer) override;

  private:
    DiskFolder(int root, Resolve resolve, std::string name)
        : root_(root), resolve_(resolve), name_(std::move(name))
    {
    }
    [[nodiscard]] int             open_below(const std::string& path, int flags) const;
    [[nodiscard]] int             open_folder(const std::string& path, bool make) const;
    [[nodiscard]] engine::Failure trouble(const std::string& path, int code) const;

    int         root_;
    Resolve     resolve_;
    std::string name_; ///< of the share, for sentences
};

} // namespace share
