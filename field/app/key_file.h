#pragma once
// Where the file of the plant key is looked for. It is kept off the tablets: on a stick, brought when
// somebody is enrolled.
#include "engine/book/locked_key.h"

#include <filesystem>
#include <string>
#include <vector>

namespace field::app {

/// `wish` (a file or a folder) alone when it is set; else the folder that holds the shared folder, and every
/// stick that is plugged in (/media/<user>/<stick>, /run/media/<user>/<stick>).
[[nodiscard]] std::vector<std::filesystem::path> key_places(const std::filesystem::path& wish,
                                                            const std::filesystem::path& shared);

struct FoundKey {
    std::filesystem::path file;
    engine::LockedKey     locked;
};
/// The first `*.key` file in the places, not below them, that locks the key `plant_key` (64 hex). Faults:
/// not_found, corrupt (there is one and it is damaged), conflict (it is another plant's).
[[nodiscard]] engine::Result<FoundKey> find_plant_key(const std::vector<std::filesystem::path>& places,
                                                      const std::string&                        plant_key);

} // namespace field::app
