#include "engine/book/photos.h"

#include "engine/book/inside.h"

#include <turbojpeg.h>

#include <memory>
#include <system_error>

namespace engine {
namespace {

constexpr std::size_t  kShortest   = 125; ///< no JPEG with tables and one block is shorter
constexpr std::int64_t kMostPixels = 60'000'000;

struct Closer {
    void operator()(void* decoder) const { tjDestroy(decoder); }
};
using Decoder = std::unique_ptr<void, Closer>;

Failure not_whole(const std::string& what)
{
    return failure(Fault::corrupt, "The photo is not a whole JPEG: " + what + ". Take it again.");
}

bool is_name(const std::string& sha256)
{
    return hash_from_hex(sha256).has_value();
}

} // namespace

Result<PhotoInfo> inspect_jpeg(std::span<const unsigned char> jpeg)
{
    if (jpeg.size() > kLargestPhoto)
        return failure(Fault::out_of_range, "The photo is larger than 32 MiB; take it with fewer pixels.");
    if (jpeg.size() < kShortest || jpeg[0] != 0xff || jpeg[1] != 0xd8)
        return not_whole("it does not begin as one");
    if (jpeg[jpeg.size() - 2] != 0xff || jpeg[jpeg.size() - 1] != 0xd9)
        return not_whole("its end is missing");
    const Decoder decoder(tjInitDecompress());
    if (!decoder)
        return failure(Fault::io, "There is not enough memory to look at the photo; close other programs.");
    PhotoInfo info;
    int       sampling = 0;
    int       colours  = 0;
    if (tjDecompressHeader3(decoder.get(), jpeg.data(), jpeg.size(), &info.width, &info.height, &sampling,
                            &colours) != 0)
        return not_whole("its head cannot be read");
    if (std::int64_t{info.width} * info.height > kMostPixels)
        return failure(Fault::out_of_range, "The photo has more than 60 million pixels; take it with fewer.");
    const bool                 print  = colours == TJCS_CMYK || colours == TJCS_YCCK;
    const int                  format = print ? TJPF_CMYK : TJPF_GRAY;
    const std::size_t          row    = static_cast<std::size_t>(info.width) * (print ? 4U : 1U);
    std::vector<unsigned char> pixels(row * static_cast<std::size_t>(info.height));
    if (tjDecompress2(decoder.get(), jpeg.data(), jpeg.size(), pixels.data(), info.width, 0, info.height,
                      format, TJFLAG_STOPONWARNING | TJFLAG_LIMITSCANS) != 0)
        return not_whole("the picture inside is damaged or cut short");
    info.sha256 = hex(sha256(jpeg));
    info.bytes  = jpeg.size();
    return info;
}

PhotoStore::PhotoStore(std::filesystem::path folder, Io& io) : folder_(std::move(folder)), io_(&io) {}

Result<PhotoInfo> PhotoStore::keep(std::span<const unsigned char> jpeg)
{
    auto info = inspect_jpeg(jpeg);
    if (!info) return info;
    const std::filesystem::path place = path_of(info->sha256);
    if (has(info->sha256)) {
        if (read(info->sha256)) return info;
        // What lies there is not what its name says: it was damaged since, and here are the right bytes.
        std::error_code none;
        std::filesystem::remove(place, none);
    }
    if (Status made = io_->make_folder(place.parent_path()); !made) return made.failure();
    if (Status kept = io_->write_whole(place, jpeg); !kept) return kept.failure();
    return info;
}

Result<PhotoInfo> PhotoStore::keep_at_any_cost(std::span<const unsigned char> jpeg)
{
    auto kept = keep(jpeg);
    if (kept || kept.error().fault != Fault::no_space) return kept;
    const std::filesystem::path ballast = folder_.parent_path() / kBallastName;
    std::error_code             none;
    if (!std::filesystem::exists(ballast, none) || !io_->remove(ballast)) return kept;
    return keep(jpeg);
}

Status PhotoStore::remove(const std::string& sha256_hex)
{
    if (!is_name(sha256_hex)) return failure(Fault::bad_input, "A photo is named by 64 hexadecimal digits.");
    return io_->remove(path_of(sha256_hex));
}

Result<std::vector<unsigned char>> PhotoStore::read(const std::string& sha256_hex) const
{
    if (!is_name(sha256_hex)) return failure(Fault::bad_input, "A photo is named by 64 hexadecimal digits.");
    auto bytes = io_->read_whole(path_of(sha256_hex), kLargestPhoto);
    if (!bytes && bytes.error().fault == Fault::not_found)
        return failure(Fault::not_found, "The photo " + sha256_hex.substr(0, 8) + " is not on this machine.");
    if (!bytes) return bytes;
    if (hex(sha256(*bytes)) != sha256_hex)
        return failure(Fault::corrupt, "The photo " + sha256_hex.substr(0, 8) +
                                           " was changed or damaged since it was taken.");
    return bytes;
}

bool PhotoStore::has(const std::string& sha256_hex) const
{
    if (!is_name(sha256_hex)) return false;
    std::error_code none;
    const auto      found = std::filesystem::status(path_of(sha256_hex), none);
    return std::filesystem::is_regular_file(found) || found.type() == std::filesystem::file_type::none;
}

std::filesystem::path PhotoStore::path_of(const std::string& sha256_hex) const
{
    return folder_ / sha256_hex.substr(0, 2) / (sha256_hex + ".jpg");
}

} // namespace engine
