#include "engine/base/files.h"

#include <cstdlib>
#include <initializer_list>
#include <system_error>

namespace engine {

std::filesystem::path assets_folder()
{
    namespace fs = std::filesystem;
    if (const char* named = std::getenv("WITNESSMARK_ASSETS"); named != nullptr && *named != '\0')
        return named;
    std::error_code none;
    const fs::path  program = fs::read_symlink("/proc/self/exe", none).parent_path();
    for (const fs::path& place : {program / "assets", program.parent_path() / "share" / "witnessmark"})
        if (fs::is_directory(place / "procedure", none)) return place;
    return WM_ASSETS_DIR;
}

} // namespace engine
