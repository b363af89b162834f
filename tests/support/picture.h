#pragma once
// Small whole JPEGs, the same bytes on every run.
#include <vector>

namespace support {

/// A whole JPEG of 160 x 120; another number gives another picture, and so another hash.
[[nodiscard]] std::vector<unsigned char> numbered_jpeg(int number, int width = 160, int height = 120);
/// A grey picture as a JPEG, one byte a pixel.
[[nodiscard]] std::vector<unsigned char> grey_jpeg(const std::vector<unsigned char>& grey, int width,
                                                   int height);

} // namespace support
