#pragma once
// Invented photos for the demo book: a plain picture of a nut with the mark on the shaft and the mark on the
// nut.
#include "engine/base/quantity.h"

#include <cstdint>
#include <vector>

namespace field::cli {

struct DemoPicture {
    engine::Degrees angle;     ///< of the nut mark from the shaft mark, clockwise
    std::uint32_t   shade = 0; ///< makes each picture another one: ground, light and place of the nut
};

/// A small JPEG; empty when the encoder fails.
[[nodiscard]] std::vector<unsigned char> demo_photo(const DemoPicture& picture);

} // namespace field::cli
