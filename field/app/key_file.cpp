#include "field/app/key_file.h"

#include <algorithm>
#include <fstream>
#include <optional>

namespace field::app {

namespace fs = std::filesystem;
using engine::failure;
using engine::Fault;

namespace {

constexpr std::size_t      kMostFiles = 1000; ///< looked at in one folder
constexpr std::string_view kHead      = "witnessmark1 locked key";

std::vector<fs::path> inside(const fs::path& folder)
{
    std::vector<fs::path> found;
    std::error_code       trouble;
    for (fs::directory_iterator at(folder, trouble), end; !trouble && at != end && found.size() < kMostFiles;
         at.increment(trouble))
        found.push_back(at->path());
    std::sort(found.begin(), found.end());
    return found;
}

/// Other keys end in .key too, such as that of the tablet itself: only what says it is locked is looked at.
bool says_locked(const fs::path& file)
{
    std::error_code trouble;
    if (file.extension() != ".key" || !fs::is_regular_file(file, trouble)) return false;
    std::ifstream in(file, std::ios::binary);
    std::string   head(kHead.size(), '\0');
    return in.read(head.data(), static_cast<std::streamsize>(head.size())) && head == kHead;
}

} // namespace

std::vector<fs::path> key_places(const fs::path& wish, const fs::path& shared)
{
    if (!wish.empty()) return {wish};
    std::vector<fs::path> places;
    std::error_code       trouble;
    if (!shared.empty()) places.push_back(fs::absolute(shared, trouble).lexically_normal().parent_path());
    for (const char* base : {"/media", "/run/media"})
        for (const fs::path& user : inside(base))
            for (const fs::path& stick : inside(user))
                places.push_back(stick);
    return places;
}

engine::Result<FoundKey> find_plant_key(const std::vector<fs::path>& places, const std::string& plant_key)
{
    std::optional<engine::Failure> damaged, foreign;
    for (const fs::path& place : places) {
        std::error_code       trouble;
        const bool            alone = fs::is_regular_file(place, trouble);
        std::vector<fs::path> files = alone ? std::vector{place} : inside(place);
        for (const fs::path& file : files) {
            if (!alone && !says_locked(file)) continue;
            auto locked = engine::LockedKey::load(file);
            if (locked && locked->key() == plant_key) return FoundKey{file, *std::move(locked)};
            if (!locked)
                damaged = locked.failure();
            else if (locked->label().starts_with("plant "))
                foreign = failure(Fault::conflict,
                                  file.filename().string() +
                                      " is the key of another plant; bring the file of this plant's key.",
                                  file.string());
        }
    }
    if (damaged) return *damaged;
    if (foreign) return *foreign;
    return failure(Fault::not_found,
                   "No file of the plant key is in reach; plug in the stick it is kept on.");
}

} // namespace field::app
