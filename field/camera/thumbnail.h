#pragma once
// JPEG bytes to pixels for the screen, reduced while decoding: a photo of 12 megapixels is never unpacked
// whole for a slot of 160 pixels.
#include "engine/base/result.h"

#include <cstdint>
#include <span>
#include <vector>

namespace field::camera {

/// 4 bytes a pixel (red, green, blue, 255), rows from the top.
struct Picture {
    int                       width = 0, height = 0;
    std::vector<std::uint8_t> rgba;
};

/// Keeps the shape of the picture, at most `most_width` x `most_height`, never larger than it is. Faults:
/// corrupt (not a whole JPEG), out_of_range (above 100 megapixels, or no room asked for).
[[nodiscard]] engine::Result<Picture> decode_jpeg(std::span<const unsigned char> jpeg, int most_width,
                                                  int most_height);

} // namespace field::camera
