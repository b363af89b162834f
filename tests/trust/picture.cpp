// The numbered picture of tests/support without its camera, which belongs to the floor above.
#include "tests/engine/book/jpeg.h"
#include "tests/support/fake_camera.h"

namespace support {

std::vector<unsigned char> numbered_jpeg(int number, int width, int height)
{
    return picture(width / 4, height / 4, static_cast<unsigned char>(number));
}

} // namespace support
