#pragma once
// The real disk behind the seam, for tests that change one thing about it.
#include "engine/book/io.h"

namespace support {

class RealDisk : public engine::Io {
  public:
    [[nodiscard]] engine::Status write_whole(const std::filesystem::path&   file,
                                             std::span<const unsigned char> bytes) override
    {
        return engine::disk_io().write_whole(file, bytes);
    }
    [[nodiscard]] engine::Status write_tail(const std::filesystem::path& file, engine::OpenFile& held,
                                            std::uint64_t offset, std::string_view bytes,
                                            bool durable) override
    {
        return engine::disk_io().write_tail(file, held, offset, bytes, durable);
    }
    [[nodiscard]] engine::Result<std::vector<unsigned char>> read_whole(const std::filesystem::path& file,
                                                                        std::size_t most) const override
    {
        return engine::disk_io().read_whole(file, most);
    }
    [[nodiscard]] engine::Status make_folder(const std::filesystem::path& folder) override
    {
        return engine::disk_io().make_folder(folder);
    }
};

} // namespace support
