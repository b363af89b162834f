#include "field/camera/camera.h"

#include "field/camera/folder_camera.h"
#include "field/camera/stream_camera.h"

namespace field::camera {

std::unique_ptr<Camera> make_camera(const CameraChoice& choice)
{
    if (!choice.folder.empty()) return std::make_unique<FolderCamera>(choice.folder);
    if (choice.camera == "test") return std::make_unique<StreamCamera>(test_stream());
    return std::make_unique<StreamCamera>(device_stream(choice.camera));
}

} // namespace field::camera
