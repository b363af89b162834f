// The plan of the house, kept by a test instead of by memory.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <string>

namespace fs = std::filesystem;
namespace {

struct Floor {
    const char* folder;
    const char* banned;
};

constexpr Floor kFloors[] = {
    {"engine", "imgui|SDL|GLFW|gst/|cairo|sync/|field/"}, // ground floor: knows nobody above
    {"sync", "imgui|SDL|GLFW|gst/|sqlite3|field/"},       // speaks to engine only
    {"field", "sqlite3|sodium|openssl"},                  // asks engine and sync, never their libraries
};
// Window libraries stay behind the shell seam, ImGui's own headers behind shell, look, kit, drawing and
// screens.
constexpr Floor kRooms[] = {
    {"field/look", "SDL|GLFW|field/(shell|kit|drawing|screens|app|cli)/"},
    {"field/kit", "SDL|GLFW|field/(shell|drawing|screens|app|cli)/"},
    {"field/drawing", "SDL|GLFW|field/(shell|screens|app|cli)/"},
    {"field/screens", "SDL|GLFW|field/(shell|app|cli)/"},
    {"field/app", "SDL|GLFW|field/cli/"},
    {"field/camera", "imgui|SDL|GLFW|field/(shell|look|kit|drawing|screens|app|cli)/"},
};
constexpr int kLongestFile = 500;

bool is_source(const fs::path& p)
{
    return p.extension() == ".h" || p.extension() == ".cpp";
}

template <class Visit> void each_line(const fs::path& folder, Visit visit)
{
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        if (!is_source(entry.path())) continue;
        std::ifstream in(entry.path());
        int           number = 0;
        for (std::string line; std::getline(in, line);)
            visit(entry.path(), ++number, line);
    }
}

void keep(const Floor& floor)
{
    const std::regex banned(std::string(R"(^\s*#\s*include\s*[<"]()") + floor.banned + ")");
    each_line(fs::path(WM_SOURCE_DIR) / floor.folder,
              [&](const fs::path& file, int number, const std::string& line) {
                  if (!std::regex_search(line, banned)) return;
                  FAIL_CHECK(file.string() << ":" << number << " includes what lies above it: " << line);
              });
}

} // namespace

TEST_SUITE("house rules")
{
    TEST_CASE("no floor includes what lies above it")
    {
        for (const Floor& floor : kFloors)
            keep(floor);
    }

    TEST_CASE("no room of the top floor includes what it must not know")
    {
        for (const Floor& room : kRooms)
            keep(room);
    }

    TEST_CASE("no file outgrows its room")
    {
        for (const char* folder : {"engine", "sync", "field", "tests"}) {
            fs::path worst;
            int      lines = 0;
            each_line(fs::path(WM_SOURCE_DIR) / folder,
                      [&](const fs::path& file, int number, const std::string&) {
                          if (number > lines) lines = number, worst = file;
                      });
            CAPTURE(worst.string());
            CHECK(lines <= kLongestFile);
        }
    }
}
