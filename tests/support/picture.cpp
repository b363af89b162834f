#include "tests/support/picture.h"

#include <turbojpeg.h>

#include <stdexcept>

namespace support {
namespace {

std::vector<unsigned char> compressed(const std::vector<unsigned char>& pixels, int width, int height,
                                      TJPF format)
{
    const tjhandle coder       = tjInitCompress();
    unsigned char* bytes       = nullptr;
    unsigned long  size        = 0;
    const int      subsampling = format == TJPF_GRAY ? TJSAMP_GRAY : TJSAMP_444;
    const int      done =
        tjCompress2(coder, pixels.data(), width, 0, height, format, &bytes, &size, subsampling, 90, 0);
    std::vector<unsigned char> jpeg(bytes, bytes + (done == 0 ? size : 0));
    tjFree(bytes);
    tjDestroy(coder);
    if (done != 0) throw std::runtime_error("the test's picture could not be compressed");
    return jpeg;
}

} // namespace

std::vector<unsigned char> numbered_jpeg(int number, int width, int height)
{
    std::vector<unsigned char> pixels;
    for (int y = 0; y < height; ++y)
        for (int x = 0; x < width; ++x) {
            // 16 upright bars spell the number in binary over a ramp from top to bottom.
            const bool bar = ((number >> (x * 16 / width)) & 1) != 0;
            pixels.push_back(static_cast<unsigned char>(bar ? 230 : 40));
            pixels.push_back(static_cast<unsigned char>(y * 200 / height));
            pixels.push_back(static_cast<unsigned char>(bar ? 60 : 120));
        }
    return compressed(pixels, width, height, TJPF_RGB);
}

std::vector<unsigned char> grey_jpeg(const std::vector<unsigned char>& grey, int width, int height)
{
    return compressed(grey, width, height, TJPF_GRAY);
}

} // namespace support
