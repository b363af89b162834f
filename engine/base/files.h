#pragma once
// Where the program's own data lies.
#include <filesystem>

namespace engine {

/// Folder of procedure, words, tables and demo data: $WITNESSMARK_ASSETS, else `assets` beside the program
/// or in ../share/witnessmark, else the source tree it was built from.
[[nodiscard]] std::filesystem::path assets_folder();

} // namespace engine
