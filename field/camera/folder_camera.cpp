#include "field/camera/folder_camera.h"

#include "engine/book/photos.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <system_error>

namespace field::camera {
namespace {

namespace fs = std::filesystem;
using engine::failure;
using engine::Fault;

bool is_picture_name(const fs::path& file)
{
    std::string ending = file.extension().string();
    std::ranges::transform(ending, ending.begin(),
                           [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    return (ending == ".jpg" || ending == ".jpeg") && !file.filename().string().starts_with('.');
}

engine::Result<std::vector<unsigned char>> bytes_of(const fs::path& file)
{
    const std::string name = file.filename().string();
    std::error_code   trouble;
    const auto        size = fs::file_size(file, trouble);
    if (trouble)
        return failure(Fault::not_found, "The picture " + name + " is gone from the folder; take it again.",
                       trouble.message());
    if (size > engine::kLargestPhoto)
        return failure(Fault::out_of_range,
                       "The picture " + name + " is larger than 32 MiB; set the camera to smaller pictures.");
    std::ifstream              in(file, std::ios::binary);
    std::vector<unsigned char> bytes(size);
    in.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(size));
    if (!in || static_cast<std::uintmax_t>(in.gcount()) != size)
        return failure(Fault::io, "The picture " + name + " cannot be read from the folder; try again.");
    return bytes;
}

} // namespace

FolderCamera::FolderCamera(fs::path folder) : folder_(std::move(folder)) {}

engine::Failure FolderCamera::no_folder() const
{
    return failure(Fault::not_found, "There is no picture folder " + folder_.string() +
                                         "; make it or start with another --camera-folder DIR.");
}

engine::Status FolderCamera::start()
{
    if (started_) return engine::Unit{};
    std::error_code trouble;
    if (!fs::is_directory(folder_, trouble)) return no_folder();
    for (const Stamp& stamp : pictures())
        seen_.emplace(stamp, Seen::before_start);
    started_ = true;
    return engine::Unit{};
}

void FolderCamera::stop()
{
    started_ = false;
    shown_.reset();
    frame_.reset();
}

bool FolderCamera::is_whole(const fs::path& file)
{
    std::ifstream       in(file, std::ios::binary);
    std::array<char, 2> edge{};
    const auto          is = [&](int first, int second) {
        return in.read(edge.data(), edge.size()) && static_cast<unsigned char>(edge[0]) == first &&
               static_cast<unsigned char>(edge[1]) == second;
    };
    if (!is(0xff, 0xd8)) return false; // start of image
    in.seekg(-2, std::ios::end);
    return is(0xff, 0xd9); // end of image
}

std::optional<FolderCamera::Stamp> FolderCamera::stamp_of(const fs::path& file) const
{
    std::error_code trouble;
    Stamp           stamp{file.filename().string(), fs::last_write_time(file, trouble), 0};
    if (trouble) return std::nullopt;
    stamp.size = fs::file_size(file, trouble);
    if (trouble || !fs::is_regular_file(file, trouble)) return std::nullopt;
    return stamp;
}

std::vector<FolderCamera::Stamp> FolderCamera::pictures() const
{
    std::vector<Stamp> found;
    std::error_code    trouble;
    for (fs::directory_iterator entry(folder_, trouble), end; !trouble && entry != end;
         entry.increment(trouble)) {
        if (!is_picture_name(entry->path())) continue;
        if (auto stamp = stamp_of(entry->path())) found.push_back(*std::move(stamp));
    }
    std::sort(found.begin(), found.end(), [](const Stamp& a, const Stamp& b) { return b < a; });
    return found;
}

std::optional<FolderCamera::Stamp> FolderCamera::newest() const
{
    for (const Stamp& stamp : pictures())
        if (!seen_.contains(stamp) && is_whole(folder_ / stamp.name)) return stamp;
    return std::nullopt;
}

std::vector<fs::path> FolderCamera::waiting() const
{
    std::vector<fs::path> files;
    for (const Stamp& stamp : pictures()) {
        const auto known = seen_.find(stamp);
        if (known != seen_.end() && known->second == Seen::taken) continue;
        if (is_whole(folder_ / stamp.name)) files.push_back(folder_ / stamp.name);
    }
    return files;
}

std::shared_ptr<const Frame> FolderCamera::latest()
{
    if (!started_) return nullptr;
    const auto stamp = newest();
    if (!stamp) {
        shown_.reset();
        frame_.reset();
        return nullptr;
    }
    const bool shown = shown_ && !(*shown_ < *stamp) && !(*stamp < *shown_);
    if (shown) return frame_;
    const auto bytes = bytes_of(folder_ / stamp->name);
    if (!bytes) return frame_;
    auto picture = decode_jpeg(*bytes, kPreviewWidth, kPreviewHeight);
    if (!picture) return frame_;
    shown_ = stamp;
    frame_ = std::make_shared<const Frame>(Frame{*std::move(picture), ++frames_});
    return frame_;
}

engine::Result<Shot> FolderCamera::take_stamped(const Stamp& stamp)
{
    auto bytes = bytes_of(folder_ / stamp.name);
    if (!bytes) return bytes.failure();
    if (const auto whole = decode_jpeg(*bytes, kPreviewWidth, kPreviewHeight); !whole)
        return failure(whole.error().fault,
                       "The picture " + stamp.name + " in the folder is not a whole JPEG; take it again.",
                       whole.error().context);
    seen_[stamp] = Seen::taken;
    return Shot{*std::move(bytes), "folder file " + stamp.name};
}

engine::Result<Shot> FolderCamera::shoot()
{
    if (!started_)
        return failure(Fault::refused, "The picture folder is not watched yet; open the photo step.");
    std::error_code trouble;
    if (!fs::is_directory(folder_, trouble)) return no_folder();
    if (const auto stamp = newest()) return take_stamped(*stamp);
    for (const Stamp& stamp : pictures()) // newest() passed it over: say why
        if (!seen_.contains(stamp))
            return failure(Fault::corrupt,
                           "The picture " + stamp.name +
                               " has no end: it is still being copied or is not a plain JPEG; "
                               "wait a moment or take it again.");
    return failure(Fault::not_found, "There is no new picture in " + folder_.string() +
                                         "; take one with the camera, let it be copied, then try again.");
}

engine::Result<Shot> FolderCamera::take(const fs::path& file)
{
    const auto stamp = stamp_of(folder_ / file.filename());
    if (!stamp || !is_picture_name(file))
        return failure(Fault::not_found, "There is no picture " + file.filename().string() + " in " +
                                             folder_.string() + "; choose one that waits there.");
    return take_stamped(*stamp);
}

} // namespace field::camera
