#include "field/camera/grey.h"

#include <stb_image.h>
#include <turbojpeg.h>

#include <fstream>
#include <iterator>
#include <memory>

namespace field::camera {
namespace {

using engine::failure;
using engine::Fault;

constexpr std::int64_t   kMostPixels  = 100'000'000;
constexpr std::uintmax_t kLargestFile = 64U << 20U;

engine::Failure broken()
{
    return failure(Fault::corrupt, "The photo is not a whole JPEG or PNG picture; take it again.");
}

engine::Failure too_large()
{
    return failure(Fault::out_of_range, "The photo has more than 100 million pixels; take a smaller one.");
}

struct Close {
    void operator()(void* decoder) const { tjDestroy(decoder); }
};

std::size_t area(int width, int height)
{
    return static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
}

engine::Result<GreyPicture> from_jpeg(std::span<const unsigned char> file)
{
    const std::unique_ptr<void, Close> decoder(tjInitDecompress());
    GreyPicture                        picture;
    int                                subsampling = 0, colours = 0;
    if (!decoder || tjDecompressHeader3(decoder.get(), file.data(), file.size(), &picture.width,
                                        &picture.height, &subsampling, &colours) != 0)
        return broken();
    if (std::int64_t{picture.width} * picture.height > kMostPixels) return too_large();
    picture.pixels.resize(area(picture.width, picture.height));
    if (tjDecompress2(decoder.get(), file.data(), file.size(), picture.pixels.data(), picture.width, 0,
                      picture.height, TJPF_GRAY, TJFLAG_FASTDCT) != 0)
        return broken();
    return picture;
}

struct Free {
    void operator()(stbi_uc* pixels) const { stbi_image_free(pixels); }
};

engine::Result<GreyPicture> from_others(std::span<const unsigned char> file)
{
    GreyPicture picture;
    int         channels = 0;
    const int   size     = static_cast<int>(file.size());
    if (stbi_info_from_memory(file.data(), size, &picture.width, &picture.height, &channels) == 0)
        return broken();
    if (std::int64_t{picture.width} * picture.height > kMostPixels) return too_large();
    const std::unique_ptr<stbi_uc, Free> pixels(
        stbi_load_from_memory(file.data(), size, &picture.width, &picture.height, &channels, 1));
    if (!pixels) return broken();
    picture.pixels.assign(pixels.get(), pixels.get() + area(picture.width, picture.height));
    return picture;
}

} // namespace

engine::Result<GreyPicture> decode_grey(std::span<const unsigned char> file)
{
    if (file.size() < 4 || file.size() > kLargestFile) return broken();
    const bool jpeg = file[0] == 0xFF && file[1] == 0xD8;
    return jpeg ? from_jpeg(file) : from_others(file);
}

engine::Result<GreyPicture> read_grey(const std::filesystem::path& file)
{
    std::error_code none;
    const auto      size = std::filesystem::file_size(file, none);
    std::ifstream   in(file, std::ios::binary);
    if (none || !in) return failure(Fault::not_found, "The photo '" + file.string() + "' cannot be opened.");
    if (size > kLargestFile)
        return failure(Fault::out_of_range, "The photo '" + file.string() + "' is larger than 64 MiB.");
    const std::vector<char> bytes{std::istreambuf_iterator<char>(in), {}};
    return decode_grey({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()});
}

} // namespace field::camera
