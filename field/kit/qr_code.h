#pragma once
// A QR code on the glass: black on white in every light, whole pixels a module, quiet zone kept.
#include "field/camera/qr.h"
#include "field/look/canvas.h"

namespace field::kit {

/// The largest code that fits, its quiet zone included, in the middle of `rect`; returns the white box. Empty
/// when there is no code or the box is too small for two pixels a module.
look::Rect qr_code(look::Canvas& canvas, const look::Rect& rect, const camera::QrBits& bits);

} // namespace field::kit
