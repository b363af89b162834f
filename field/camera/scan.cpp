#include "field/camera/scan.h"

#include <exception>
#include <utility>
#include <vector>

#define ZX_USE_UTF8 1
#include <ReadBarcode.h>

namespace field::camera {
namespace {

std::optional<std::string> read_once(std::span<const std::uint8_t> grey, int width, int height)
{
    using ZXing::BarcodeFormat;
    ZXing::DecodeHints hints;
    hints.setFormats(BarcodeFormat::QRCode | BarcodeFormat::DataMatrix | BarcodeFormat::Code128);
    hints.setTryHarder(true).setTryRotate(true).setTryDownscale(false);
    const auto found =
        ZXing::ReadBarcode(ZXing::ImageView(grey.data(), width, height, ZXing::ImageFormat::Lum), hints);
    if (!found.isValid() || found.text().empty()) return std::nullopt;
    return found.text();
}

std::vector<std::uint8_t> halved(std::span<const std::uint8_t> grey, int width, int height)
{
    std::vector<std::uint8_t> half;
    const auto                row = static_cast<std::size_t>(width);
    half.reserve(grey.size() / 4);
    for (std::size_t y = 0; y + 1 < static_cast<std::size_t>(height); y += 2)
        for (std::size_t x = 0; x + 1 < row; x += 2) {
            const std::size_t at = y * row + x;
            half.push_back(static_cast<std::uint8_t>(
                (grey[at] + grey[at + 1] + grey[at + row] + grey[at + row + 1]) / 4));
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
        if (auto text = read_once(grey, width, height)) return text;
        return read_once(halved(grey, width, height), width / 2, height / 2);
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
