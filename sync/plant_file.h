#pragma once
// The file of a shared folder that says which plant it is of: FORMAT.md section 1.
#include "engine/book/book.h"
#include "sync/folder.h"

#include <optional>
#include <string>
#include <string_view>

namespace share {

inline constexpr std::size_t kLargestPlantFile = std::size_t{4} * 1024;

struct FolderPlant {
    std::string       name;
    engine::PlantMark mark; ///< never without an id
};
[[nodiscard]] FolderPlant                plant_of(const engine::Book& book);
[[nodiscard]] std::string                text_of(const FolderPlant& plant);
[[nodiscard]] std::optional<FolderPlant> folder_plant_in(std::string_view text);
/// "witnessmark1/plant-<id>.txt", and the id in such a name.
[[nodiscard]] std::string                plant_path(const std::string& id);
[[nodiscard]] std::optional<std::string> plant_file_id(std::string_view file);

/// Whose folder it is; none when it does not say. Faults: bad_input (it says two things), io, not_found (the
/// share is gone).
[[nodiscard]] engine::Result<std::optional<FolderPlant>> whose_folder(Folder& folder);
/// The plant a machine new to this folder belongs to: as the file says it, else as the first machine that can
/// be read says it, which has no id in folders of earlier versions; none: nobody has written there yet.
[[nodiscard]] engine::Result<std::optional<FolderPlant>> plant_to_join(Folder& folder);
/// Whether this book may exchange with a folder of that plant. Fault::bad_input: one sentence, naming both.
[[nodiscard]] engine::Status may_use(const engine::Book& book, const FolderPlant& plant);

} // namespace share
