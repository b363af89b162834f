#pragma once
// The seam to whatever takes the pictures: a camera of the machine, a moving test picture, or a folder
// another camera writes into. A photo's bytes are never changed on their way: they are hashed and signed as
// taken.
#include "engine/base/result.h"
#include "field/camera/thumbnail.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace field::camera {

/// What the camera sees now, reduced to at most kPreviewWidth x kPreviewHeight.
struct Frame {
    Picture       picture;
    std::uint64_t sequence = 0; ///< rises with every new frame since start()
};

inline constexpr int kPreviewWidth  = 960;
inline constexpr int kPreviewHeight = 720;

struct Shot {
    std::vector<unsigned char> jpeg;   ///< exactly as the source gave it
    std::string                source; ///< "camera /dev/video0", "test picture", "folder file IMG_0042.jpg"
};

/// All calls from one thread. A Frame handed out may be read by any thread and outlives the camera.
class Camera {
  public:
    Camera()                         = default;
    Camera(const Camera&)            = delete;
    Camera& operator=(const Camera&) = delete;
    virtual ~Camera()                = default; ///< every camera stops itself

    /// Waits until pictures come, at most a few seconds. Faults: not_found (no such camera or folder), io (it
    /// gives no picture), unsupported (a part of the picture library is missing). Started already: nothing
    /// happens.
    [[nodiscard]] virtual engine::Status start() = 0;
    virtual void                         stop()  = 0; ///< gives the device back; no thread is left
    /// The newest frame, at once; the frame before when there is no newer one; null before the first.
    [[nodiscard]] virtual std::shared_ptr<const Frame> latest() = 0;
    /// A photo of now, within two seconds. Faults: refused (not started), not_found (no new picture in the
    /// folder), io (camera unplugged or silent), corrupt and out_of_range (picture file).
    [[nodiscard]] virtual engine::Result<Shot> shoot() = 0;
};

struct CameraChoice {
    std::string           camera = "/dev/video0"; ///< a device, or "test" for the moving test picture
    std::filesystem::path folder;                 ///< not empty: pictures are picked up from here instead
};

/// Not started yet; touches no device.
[[nodiscard]] std::unique_ptr<Camera> make_camera(const CameraChoice& choice);

} // namespace field::camera
