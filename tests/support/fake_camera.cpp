#include "tests/support/fake_camera.h"

namespace support {

engine::Status FakeCamera::start()
{
    if (unplugged_)
        return engine::failure(engine::Fault::not_found,
                               "There is no camera at fake; plug one in or start with "
                               "--camera test or --camera-folder DIR.");
    running_ = true;
    return engine::Unit{};
}

std::shared_ptr<const field::camera::Frame> FakeCamera::latest()
{
    if (!running_) return nullptr;
    auto picture =
        field::camera::decode_jpeg(now(), field::camera::kPreviewWidth, field::camera::kPreviewHeight);
    if (!picture) return nullptr;
    return std::make_shared<const field::camera::Frame>(field::camera::Frame{*std::move(picture), ++frames_});
}

engine::Result<field::camera::Shot> FakeCamera::shoot()
{
    if (!running_)
        return engine::failure(engine::Fault::refused,
                               "The camera is not running; open the photo step again.");
    if (unplugged_)
        return engine::failure(
            engine::Fault::io,
            "The camera gave no whole picture; check its plug, then open the photo step again.");
    field::camera::Shot shot{now(), "fake camera"};
    ++number_;
    return shot;
}

} // namespace support
