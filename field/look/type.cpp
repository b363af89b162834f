#include "field/look/type.h"

#include <imgui.h>
#include <imgui_freetype.h>

#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

namespace field::look {
namespace {

namespace fs = std::filesystem;

constexpr float kCapOfSize = 0.6255F; // height of a B612 capital over Dear ImGui's font size, measured

enum class Letters { all, plain, numbers };

struct Cut {
    float   wide_mm; // read at 0.7 m
    float   hand_mm; // read at 0.5 m
    bool    bold;
    Letters letters;
};
constexpr std::array<Cut, kRoles> kCuts{{
    {3.3F, 2.6F, false, Letters::all},       // label
    {3.3F, 2.6F, true, Letters::all},        // label_bold
    {4.2F, 3.2F, false, Letters::all},       // instruction
    {4.2F, 3.2F, true, Letters::all},        // instruction_bold
    {5.0F, 4.2F, true, Letters::all},        // title
    {5.0F, 4.2F, false, Letters::plain},     // value
    {5.0F, 4.2F, true, Letters::all},        // action
    {3.3F, 2.6F, false, Letters::all},       // action_sub
    {6.0F, 5.0F, false, Letters::plain},     // key
    {8.0F, 6.0F, false, Letters::plain},     // second
    {12.0F, 10.0F, false, Letters::numbers}, // reading
    {2.3F, 2.3F, false, Letters::all},       // desk
    {2.3F, 2.3F, true, Letters::all},        // desk_bold
    {3.3F, 2.6F, true, Letters::all},        // desk_title
    {3.0F, 2.6F, false, Letters::plain},     // desk_value
}};

// Latin with Extended-A, Greek, Cyrillic for names; the signs of the trade; arrows.
constexpr std::array<ImWchar, 25> kAll{0x0020, 0x017F, 0x0218, 0x021B, 0x0370, 0x03FF, 0x0400, 0x045F, 0x2010,
                                       0x2026, 0x2030, 0x2033, 0x20AC, 0x20AC, 0x2103, 0x2103, 0x2190, 0x2195,
                                       0x2205, 0x2205, 0x2212, 0x2212, 0x2248, 0x2265, 0};
constexpr std::array<ImWchar, 15> kPlain{0x0020, 0x007E, 0x00A0, 0x00FF, 0x03B1, 0x03C9, 0x2013, 0x2014,
                                         0x2026, 0x2026, 0x2212, 0x2212, 0x2260, 0x2265, 0};
constexpr std::array<ImWchar, 19> kNumbers{0x0020, 0x0020, 0x0025, 0x0025, 0x002B, 0x003A, 0x0041,
                                           0x005A, 0x00B0, 0x00B1, 0x00D7, 0x00D8, 0x2013, 0x2014,
                                           0x2026, 0x2026, 0x2212, 0x2212, 0};

const ImWchar* ranges(Letters letters)
{
    switch (letters) {
    case Letters::plain:
        return kPlain.data();
    case Letters::numbers:
        return kNumbers.data();
    case Letters::all:
        break;
    }
    return kAll.data();
}

struct FontFiles {
    std::string regular{"/usr/share/fonts/opentype/b612/B612-Regular.otf"};
    std::string bold{"/usr/share/fonts/opentype/b612/B612-Bold.otf"};
    std::string regular_rest{"/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"};
    std::string bold_rest{"/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf"};
};

ImFont* bake(ImFontAtlas& atlas, const FontFiles& files, const Cut& cut, float size_px)
{
    ImFontConfig config;
    config.OversampleH = config.OversampleV = 1;
    config.PixelSnapH                       = true;
    config.GlyphRanges                      = ranges(cut.letters);
    ImFont* font =
        atlas.AddFontFromFileTTF((cut.bold ? files.bold : files.regular).c_str(), size_px, &config);
    if (cut.letters == Letters::numbers) return font;
    config.MergeMode = true; // letters that B612 lacks
    atlas.AddFontFromFileTTF((cut.bold ? files.bold_rest : files.regular_rest).c_str(), size_px, &config);
    return font;
}

} // namespace

float cap_height_mm(Role role, bool hand_held)
{
    const Cut& cut = kCuts[static_cast<std::size_t>(role)];
    return hand_held ? cut.hand_mm : cut.wide_mm;
}

engine::Result<Type> Type::build(ImFontAtlas& atlas, const ScreenSize& screen)
{
    const FontFiles files;
    for (const std::string& file : {files.regular, files.bold, files.regular_rest, files.bold_rest}) {
        std::error_code ignored; // Dear ImGui aborts the program on a missing font: look first
        if (!fs::is_regular_file(file, ignored))
            return engine::failure(
                engine::Fault::not_found,
                "The letters of the screen are missing on this machine: install the packages "
                "fonts-b612 and fonts-dejavu-core.",
                file);
    }
    atlas.Clear();
    atlas.FontBuilderIO    = ImGuiFreeType::GetBuilderForFreeType();
    atlas.FontBuilderFlags = ImGuiFreeTypeBuilderFlags_LightHinting;
    atlas.Flags |= ImFontAtlasFlags_NoMouseCursors;
    Type type;
    type.hand_held_ = screen.hand_held();
    for (std::size_t i = 0; i < kCuts.size(); ++i) {
        const float size = std::round(type.cap_mm(static_cast<Role>(i)) * screen.px_per_mm / kCapOfSize);
        // Roles of the same cut share one font.
        for (std::size_t j = 0; j < i && type.fonts_[i] == nullptr; ++j)
            if (kCuts[j].bold == kCuts[i].bold && kCuts[j].letters == kCuts[i].letters &&
                type.cap_mm(static_cast<Role>(j)) == type.cap_mm(static_cast<Role>(i)))
                type.fonts_[i] = type.fonts_[j];
        if (type.fonts_[i] == nullptr) type.fonts_[i] = bake(atlas, files, kCuts[i], size);
    }
    if (!atlas.Build())
        return engine::failure(engine::Fault::unsupported,
                               "The letters of the screen could not be prepared: the font files are damaged.",
                               {});
    return type;
}

} // namespace field::look
