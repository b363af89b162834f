#pragma once
// Pictures on the graphics side: the live one, the one just taken, and thumbnails by hash. Full frames are
// freed at once.
#include "field/camera/thumbnail.h"
#include "field/shell/shell.h"

#include <map>
#include <span>
#include <string>

namespace engine {
class PhotoStore;
}

namespace field::app {

class PhotoDesk {
  public:
    explicit PhotoDesk(shell::Shell& shell) : shell_(&shell) {}
    ~PhotoDesk();
    PhotoDesk(const PhotoDesk&)            = delete;
    PhotoDesk& operator=(const PhotoDesk&) = delete;

    /// Live picture; the one before is released.
    [[nodiscard]] look::Texture live(const camera::Picture& picture, std::uint64_t number);
    /// The photo just taken, decoded small; empty when it cannot be decoded.
    [[nodiscard]] look::Texture taken(std::span<const unsigned char> jpeg);
    /// Thumbnail of a kept photo; at most kMost are held, the oldest goes.
    [[nodiscard]] look::Texture kept(const engine::PhotoStore& store, const std::string& sha256);
    void                        forget_live();

  private:
    static constexpr std::size_t kMost = 12;
    struct Shown {
        look::Texture texture;
        std::uint64_t used = 0;
    };
    shell::Shell*                shell_;
    look::Texture                live_{}, taken_{};
    std::uint64_t                live_number_ = 0;
    std::size_t                  taken_bytes_ = 0;
    std::map<std::string, Shown> kept_;
    std::uint64_t                clock_ = 0;
};

} // namespace field::app
