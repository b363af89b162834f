#pragma once
// A picture as grey levels, full size: what engine/fit/nut_edge.h looks for edges in.
#include "engine/base/result.h"

#include <cstdint>
#include <filesystem>
#include <span>
#include <vector>

namespace field::camera {

struct GreyPicture {
    std::vector<std::uint8_t> pixels; ///< width x height, 0 dark to 255 light
    int                       width = 0, height = 0;
};

/// JPEG, or what stb_image reads (PNG, BMP, PGM). At most 100 million pixels. Faults: corrupt, out_of_range.
[[nodiscard]] engine::Result<GreyPicture> decode_grey(std::span<const unsigned char> file);
/// Files up to 64 MiB. Faults besides: not_found, io.
[[nodiscard]] engine::Result<GreyPicture> read_grey(const std::filesystem::path& file);

} // namespace field::camera
