#include "sync/plant_file.h"

#include "sync/listing.h"
#include "sync/names.h"
#include "sync/segment.h"

#include <algorithm>
#include <vector>

namespace share {

using engine::failure;
using engine::Fault;
using engine::Result;

namespace {

constexpr std::string_view kPlantPrefix  = "plant-";
constexpr std::string_view kPlantEnding  = ".txt";
constexpr std::string_view kInventedLine = "invented demo plant\n";
constexpr std::size_t      kMostAtTop    = 1000;
constexpr std::size_t      kPlantDigits  = 8; ///< of the id, in sentences

std::string head_of(const FolderPlant& plant)
{
    return std::string(kRoot) + "/" + plant.name + "\nplant " + plant.mark.id + "\n";
}

std::string name_and_id(const FolderPlant& plant)
{
    return plant.name + " (id " + plant.mark.id.substr(0, kPlantDigits) +
           (plant.mark.invented ? ", an invented demo plant)" : ")");
}

} // namespace

FolderPlant plant_of(const engine::Book& book)
{
    return {book.plant(), book.plant_mark()};
}

std::string text_of(const FolderPlant& plant)
{
    return head_of(plant) + (plant.mark.invented ? std::string(kInventedLine) : "");
}

std::optional<FolderPlant> folder_plant_in(std::string_view text)
{
    const std::string_view all   = text;
    const std::size_t      slash = text.find('/');
    const std::size_t      line  = text.find('\n');
    if (slash == std::string_view::npos || line == std::string_view::npos || slash > line)
        return std::nullopt;
    constexpr std::string_view kLabel = "plant ";
    FolderPlant                plant{std::string(text.substr(slash + 1, line - slash - 1)), {}};
    text.remove_prefix(line + 1);
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos || end < kLabel.size()) return std::nullopt;
    plant.mark      = {std::string(text.substr(kLabel.size(), end - kLabel.size())),
                       text.substr(end + 1) == kInventedLine};
    const bool good = !plant.name.empty() && engine::is_plant_id(plant.mark.id) && text_of(plant) == all;
    return good ? std::optional(plant) : std::nullopt;
}

std::string plant_path(const std::string& id)
{
    return std::string(kRoot) + "/" + std::string(kPlantPrefix) + id + std::string(kPlantEnding);
}

std::optional<std::string> plant_file_id(std::string_view file)
{
    const bool shaped = file.size() > kPlantPrefix.size() + kPlantEnding.size() &&
                        file.substr(0, kPlantPrefix.size()) == kPlantPrefix &&
                        file.substr(file.size() - kPlantEnding.size()) == kPlantEnding;
    if (!shaped) return std::nullopt;
    const auto id = file.substr(kPlantPrefix.size(), file.size() - kPlantPrefix.size() - kPlantEnding.size());
    if (!engine::is_plant_id(id)) return std::nullopt;
    return std::string(id);
}

Result<std::optional<FolderPlant>> whose_folder(Folder& folder)
{
    if (const auto there = folder.list(".", 1); !there) return there.failure();
    const auto items = folder.list(std::string(kRoot), kMostAtTop);
    if (!items) return std::optional<FolderPlant>(); // nothing was begun there yet
    std::vector<std::string> ids;
    for (const FolderItem& item : *items)
        if (const auto id = plant_file_id(item.name); id && item.sort == FolderItem::Sort::file)
            ids.push_back(*id);
    if (ids.empty()) return std::optional<FolderPlant>();
    if (ids.size() > 1)
        return failure(Fault::bad_input,
                       "The shared folder says that it is of two plants; find out which one it is of, and "
                       "give the other a folder of its own.");
    const auto bytes = folder.read(plant_path(ids.front()), kLargestPlantFile);
    if (!bytes) return bytes.failure();
    auto plant = folder_plant_in({reinterpret_cast<const char*>(bytes->data()), bytes->size()});
    if (!plant || plant->mark.id != ids.front())
        return failure(Fault::bad_input,
                       "The file " + plant_path(ids.front()) +
                           " of the shared folder is damaged or not complete yet; try again, "
                           "then look at it by hand.");
    return plant;
}

Result<std::optional<FolderPlant>> plant_to_join(Folder& folder)
{
    auto whose = whose_folder(folder);
    if (!whose || *whose) return whose;
    const auto listing = list_folder(folder, "");
    if (!listing) return listing.failure();
    for (const auto& [devid, files] : listing->machines)
        for (const SegmentName& name : files.segments) {
            const auto bytes = folder.read(path_of(devid, name), kLargestSegment);
            if (!bytes) break;
            const OpenedSegment opened = open_segment(*bytes, name, devid, "");
            if (opened.state != State::ok || opened.entries.empty()) break;
            return std::optional(FolderPlant{opened.entries.front().plant, {}});
        }
    return whose;
}

engine::Status may_use(const engine::Book& book, const FolderPlant& plant)
{
    const FolderPlant own = plant_of(book);
    const std::string end =
        ". Nothing was taken or written; name the folder of this plant, or make a book for "
        "the folder's by `plant join`.";
    if (own.mark.id.empty() && own.name == plant.name) {
        const engine::Status ours = book.is_this_plant(plant.mark);
        if (ours) return ours;
        return failure(Fault::bad_input, "The shared folder is of another plant: " + ours.error().message);
    }
    if (own.mark.id == plant.mark.id && own.name == plant.name) return engine::Unit{};
    return failure(Fault::bad_input, "The shared folder is of another plant: it is of " + name_and_id(plant) +
                                         ", this book of " +
                                         (own.mark.id.empty() ? own.name : name_and_id(own)) + end);
}

} // namespace share
