// The numbered picture of tests/support, without the work of a codec: a simulated plant takes many.
#include "tests/support/picture.h"

#include "tests/engine/book/jpeg.h"

namespace support {

std::vector<unsigned char> numbered_jpeg(int number, int width, int height)
{
    return picture(width / 4, height / 4, static_cast<unsigned char>(number));
}

} // namespace support
