#pragma once
// Pictures another camera writes into a folder (a pocket camera, a phone, a memory card).
#include "field/camera/camera.h"

#include <map>
#include <optional>
#include <tuple>

namespace field::camera {

class FolderCamera final : public Camera {
  public:
    explicit FolderCamera(std::filesystem::path folder);

    [[nodiscard]] engine::Status start() override; ///< pictures that lie there already are not of this step
    void                         stop() override;
    [[nodiscard]] std::shared_ptr<const Frame> latest() override; ///< the picture shoot() would take
    /// The newest picture that came after start() and was not taken yet; it stays in the folder.
    [[nodiscard]] engine::Result<Shot> shoot() override;

    /// Every .jpg and .jpeg that was not taken yet, newest first, those from before start() too. A file that
    /// is still being copied (no end of picture yet) is left out.
    [[nodiscard]] std::vector<std::filesystem::path> waiting() const;
    /// One of `waiting()` by choice. Faults: not_found, io, corrupt, out_of_range (above 32 MiB).
    [[nodiscard]] engine::Result<Shot> take(const std::filesystem::path& file);

  private:
    struct Stamp { ///< a file by name, age and size: a camera may use its numbers again
        std::string                     name;
        std::filesystem::file_time_type changed;
        std::uintmax_t                  size = 0;
        friend bool                     operator<(const Stamp& a, const Stamp& b)
        {
            return std::tie(a.changed, a.name, a.size) < std::tie(b.changed, b.name, b.size);
        }
    };
    enum class Seen { before_start, taken };

    [[nodiscard]] std::vector<Stamp>   pictures() const; ///< newest first
    [[nodiscard]] std::optional<Stamp> newest() const;
    [[nodiscard]] std::optional<Stamp> stamp_of(const std::filesystem::path& file) const;
    [[nodiscard]] engine::Result<Shot> take_stamped(const Stamp& stamp);
    [[nodiscard]] static bool          is_whole(const std::filesystem::path& file);
    [[nodiscard]] engine::Failure      no_folder() const;

    std::filesystem::path        folder_;
    bool                         started_ = false;
    std::map<Stamp, Seen>        seen_;
    std::optional<Stamp>         shown_;
    std::shared_ptr<const Frame> frame_;
    std::uint64_t                frames_ = 0;
};

} // namespace field::camera
