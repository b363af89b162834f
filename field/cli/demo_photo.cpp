#include "field/cli/demo_photo.h"

#include <turbojpeg.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <memory>
#include <numbers>

namespace field::cli {
namespace {

constexpr int    kWidth   = 240;
constexpr int    kHeight  = 180;
constexpr int    kQuality = 80;
constexpr double kNut     = 72.0; ///< outer radius of the nut, px
constexpr double kSlot    = 62.0; ///< ground of its slots
constexpr double kShaft   = 38.0; ///< radius of the shaft end
constexpr int    kSlots   = 4;

struct Colour {
    int r = 0, g = 0, b = 0;
};
constexpr Colour kSteel{176, 184, 190};
constexpr Colour kDarkSteel{120, 129, 138};
constexpr Colour kMark{27, 75, 155};
constexpr Colour kGround{96, 92, 84};

/// Smallest angle between two directions, radians.
double apart(double a, double b)
{
    return std::abs(std::remainder(a - b, 2.0 * std::numbers::pi));
}

struct Scene {
    double cx, cy, mark; ///< centre, px; direction of the nut mark, radians clockwise from up
    int    light;        ///< added to every colour
};

Colour colour_at(const Scene& scene, double x, double y)
{
    const double dx     = x - scene.cx;
    const double dy     = y - scene.cy;
    const double radius = std::hypot(dx, dy);
    if (radius > kNut) return kGround;
    const double direction = std::atan2(dx, -dy); // clockwise from up
    const double half_line = 2.5 / std::max(radius, 1.0);
    if (radius < kShaft) return apart(direction, 0.0) < half_line ? kMark : kDarkSteel;
    if (apart(direction, scene.mark) < half_line) return kMark;
    if (radius > kSlot) {
        for (int slot = 0; slot < kSlots; ++slot) {
            const double at = scene.mark + (slot + 0.5) * 2.0 * std::numbers::pi / kSlots;
            if (apart(direction, at) < 0.12) return kGround;
        }
    }
    return kSteel;
}

unsigned char channel(int value, int light)
{
    const int lit = value + light;
    return static_cast<unsigned char>(lit < 0 ? 0 : lit > 255 ? 255 : lit);
}

std::vector<unsigned char> paint(const DemoPicture& picture)
{
    const Scene                scene{kWidth / 2.0 + static_cast<int>(picture.shade % 17) - 8,
                      kHeight / 2.0 + static_cast<int>(picture.shade / 17 % 11) - 5,
                      picture.angle.value * std::numbers::pi / 180.0,
                      static_cast<int>(picture.shade / 187 % 61) - 30};
    std::vector<unsigned char> pixels;
    pixels.reserve(static_cast<std::size_t>(kWidth) * kHeight * 3);
    for (int y = 0; y < kHeight; ++y) {
        for (int x = 0; x < kWidth; ++x) {
            const Colour colour = colour_at(scene, x, y);
            // A corner of the ground carries the shade, so that no two pictures are the same bytes.
            const int light =
                y < 8 && x < 32 * 8 ? static_cast<int>(picture.shade >> (x / 8 % 32) & 1U) * 40 : scene.light;
            pixels.push_back(channel(colour.r, light));
            pixels.push_back(channel(colour.g, light));
            pixels.push_back(channel(colour.b, light));
        }
    }
    return pixels;
}

} // namespace

std::vector<unsigned char> demo_photo(const DemoPicture& picture)
{
    const std::vector<unsigned char>                  pixels = paint(picture);
    const std::unique_ptr<void, decltype(&tjDestroy)> encoder(tjInitCompress(), &tjDestroy);
    if (encoder == nullptr) return {};
    unsigned char* bytes  = nullptr;
    unsigned long  length = 0; // NOLINT(google-runtime-int): the library's type
    const int done = tjCompress2(encoder.get(), pixels.data(), kWidth, 0, kHeight, TJPF_RGB, &bytes, &length,
                                 TJSAMP_420, kQuality, TJFLAG_ACCURATEDCT);
    const std::unique_ptr<unsigned char, decltype(&tjFree)> owned(bytes, &tjFree);
    if (done != 0 || bytes == nullptr) return {};
    return {bytes, bytes + length};
}

} // namespace field::cli
