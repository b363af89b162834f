#include "field/camera/thumbnail.h"

#include <turbojpeg.h>

#include <algorithm>
#include <memory>

namespace field::camera {
namespace {

using engine::failure;
using engine::Fault;

constexpr std::int64_t kMostSmallPixels = 100'000'000;

struct CloseSmall {
    void operator()(void* decoder) const { tjDestroy(decoder); }
};
using Decoder = std::unique_ptr<void, CloseSmall>;

/// The largest of the decoder's own scales that fits; its smallest when none does.
tjscalingfactor fitting_scale(int width, int height, int most_width, int most_height)
{
    int                    count = 0;
    const tjscalingfactor* all   = tjGetScalingFactors(&count);
    tjscalingfactor        best{1, 8};
    for (int i = 0; all != nullptr && i < count; ++i) {
        const tjscalingfactor one = all[i];
        if (one.num > one.denom || one.num * best.denom <= best.num * one.denom) continue;
        if (TJSCALED(width, one) <= most_width && TJSCALED(height, one) <= most_height) best = one;
    }
    return best;
}

/// Mean of blocks of step x step pixels.
Picture reduced(const Picture& from, int step)
{
    Picture to;
    to.width  = std::max(1, from.width / step);
    to.height = std::max(1, from.height / step);
    to.rgba.resize(4U * static_cast<std::size_t>(to.width) * static_cast<std::size_t>(to.height));
    const auto pixel = [row = static_cast<std::size_t>(from.width)](int x, int y) {
        return 4U * (static_cast<std::size_t>(y) * row + static_cast<std::size_t>(x));
    };
    const int across = std::min(step, from.width);
    const int down   = std::min(step, from.height);
    auto      out    = to.rgba.begin();
    for (int y = 0; y < to.height; ++y)
        for (int x = 0; x < to.width; ++x)
            for (std::size_t channel = 0; channel < 4; ++channel) {
                int sum = 0;
                for (int j = 0; j < down; ++j)
                    for (int i = 0; i < across; ++i)
                        sum += from.rgba[pixel(x * step + i, y * step + j) + channel];
                *out++ = static_cast<std::uint8_t>(sum / (across * down));
            }
    return to;
}

} // namespace

engine::Result<Picture> decode_jpeg(std::span<const unsigned char> jpeg, int most_width, int most_height)
{
    if (most_width < 1 || most_height < 1)
        return failure(Fault::out_of_range, "There is no room to show the photo in.");
    const Decoder decoder(tjInitDecompress());
    if (!decoder) return failure(Fault::io, "The photo cannot be shown: no memory for its decoder.");
    const auto broken = [&] {
        return failure(Fault::corrupt, "The photo is not a whole JPEG picture; take it again.",
                       tjGetErrorStr2(decoder.get()));
    };
    int width = 0, height = 0, subsampling = 0, colours = 0;
    if (jpeg.empty() || tjDecompressHeader3(decoder.get(), jpeg.data(), jpeg.size(), &width, &height,
                                            &subsampling, &colours) != 0)
        return broken();
    if (std::int64_t{width} * height > kMostSmallPixels)
        return failure(Fault::out_of_range,
                       "The photo has more than 100 million pixels; take a smaller one.");
    const tjscalingfactor scale = fitting_scale(width, height, most_width, most_height);
    Picture               picture;
    picture.width  = TJSCALED(width, scale);
    picture.height = TJSCALED(height, scale);
    picture.rgba.resize(4U * static_cast<std::size_t>(picture.width) *
                        static_cast<std::size_t>(picture.height));
    if (tjDecompress2(decoder.get(), jpeg.data(), jpeg.size(), picture.rgba.data(), picture.width, 0,
                      picture.height, TJPF_RGBA, 0) != 0)
        return broken();
    const int step = std::max((picture.width + most_width - 1) / most_width,
                              (picture.height + most_height - 1) / most_height);
    return step > 1 ? reduced(picture, step) : std::move(picture);
}

} // namespace field::camera
