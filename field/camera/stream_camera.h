#pragma once
// Cameras that give a stream of pictures, through GStreamer. Its threads live between start() and stop()
// only.
#include "field/camera/camera.h"

namespace field::camera {

/// How a stream is set up: pipelines tried in turn, each ending in JPEG pictures.
struct StreamPlan {
    std::string name;   ///< "camera /dev/video0"
    std::string device; ///< must be there; empty: no device needed
    std::vector<std::string>
        lines; ///< GStreamer launch lines without the sink; `source` is the device element
};

/// Pictures the camera compressed itself if it can (kept byte for byte), else raw ones compressed here.
[[nodiscard]] StreamPlan device_stream(const std::string& device);
/// A moving ball, 1280 x 720, 15 a second: no two pictures are alike.
[[nodiscard]] StreamPlan test_stream();

class StreamCamera final : public Camera {
  public:
    explicit StreamCamera(StreamPlan plan);
    ~StreamCamera() override;

    [[nodiscard]] engine::Status               start() override;
    void                                       stop() override;
    [[nodiscard]] std::shared_ptr<const Frame> latest() override;
    [[nodiscard]] engine::Result<Shot>         shoot() override;

  private:
    struct Running; ///< the pipeline; gone with its threads when it is destroyed

    [[nodiscard]] engine::Status start_line(const std::string& line);

    StreamPlan                   plan_;
    std::unique_ptr<Running>     running_;
    std::vector<unsigned char>   first_; ///< proved at start() that pictures come; the first preview
    std::shared_ptr<const Frame> frame_;
    std::uint64_t                frames_ = 0;
};

} // namespace field::camera
