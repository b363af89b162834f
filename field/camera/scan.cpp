#include "field/camera/scan.h"

#include <exception>
#include <utility>
#include <vector>

#define ZX_USE_UTF8 1
#include <ReadBarcode.h>

namespace field::camera {
namespace {

/// One byte a pixel.
struct Grey {
    std::span<const std::uint8_t> pixels;
    int                           width, height;
};

std::optional<std::string> read_once(const Grey& grey)
{
    using ZXing::BarcodeFormat;
    ZXing::DecodeHints hints;
    hints.setFormats(BarcodeFormat::QRCode | BarcodeFormat::DataMatrix | BarcodeFormat::Code128);
    hints.setTryHarder(true).setTryRotate(true).setTryDownscale(false);
    const auto found = ZXing::ReadBarcode(
        ZXing::ImageView(grey.pixels.data(), grey.width, grey.height, ZXing::ImageFormat::Lum), hints);
    if (!found.isValid() || found.text().empty()) return std::nullopt;
    return found.text();
}

std::vector<std::uint8_t> halved(const Grey& grey)
{
    std::vector<std::uint8_t> half;
    const auto&               from = grey.pixels;
    const auto                row  = static_cast<std::size_t>(grey.width);
    half.reserve(from.size() / 4);
    for (std::size_t y = 0; y + 1 < static_cast<std::size_t>(grey.height); y += 2)
        for (std::size_t x = 0; x + 1 < row; x += 2) {
            const std::size_t at  = y * row + x;
            const int         sum = from[at] + from[at + 1] + from[at + row] + from[at + row + 1];
            half.push_back(static_cast<std::uint8_t>(sum / 4));
        }
    return half;
}

} // namespace

std::optional<std::string> scan_grey(std::span<const std::uint8_t> grey, int width, int height)
{
    if (width < 8 || height < 8 ||
        grey.size() < static_cast<std::size_t>(width) * static_cast<std::size_t>(height))
        return std::nullopt;
    try {
        const Grey whole{grey, width, height};
        if (auto text = read_once(whole)) return text;
        const auto half = halved(whole);
        return read_once({half, width / 2, height / 2});
    } catch (const std::exception&) {
        return std::nullopt; // the next frame may be better
    }
}

std::optional<std::string> scan(const Picture& picture)
{
    std::vector<std::uint8_t> grey;
    grey.reserve(picture.rgba.size() / 4);
    for (std::size_t i = 0; i + 3 < picture.rgba.size(); i += 4) // weights of ITU-R BT.601
        grey.push_back(static_cast<std::uint8_t>(
            (299U * picture.rgba[i] + 587U * picture.rgba[i + 1] + 114U * picture.rgba[i + 2]) / 1000U));
    return scan_grey(grey, picture.width, picture.height);
}

} // namespace field::camera
