#pragma once
// Codes on nameplates, sleeves, badges and instruments: QR, Data Matrix and Code 128.
#include "field/camera/thumbnail.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>

namespace field::camera {

/// The text of a code in the picture, or nothing. Tries the picture as it is, then at half size: halving
/// averages away sensor noise that hides a code at full size.
[[nodiscard]] std::optional<std::string> scan(const Picture& picture);
/// Grey picture, one byte a pixel, rows from the top without gaps.
[[nodiscard]] std::optional<std::string> scan_grey(std::span<const std::uint8_t> grey, int width, int height);

} // namespace field::camera
