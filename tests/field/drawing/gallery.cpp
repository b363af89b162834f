// Pictures of every drawing: `drawing_gallery --out DIR [NAME]`. Two sizes of glass, day and dim, areas of
// several proportions.
#include "field/shell/offscreen_shell.h"

#include <imgui.h>

#include <cstdio>
#include <filesystem>

#include "tests/field/drawing/samples.h"

namespace look  = field::look;
namespace shell = field::shell;

namespace {

struct Page {
    const char*             name;
    look::ScreenSize        screen;
    std::vector<look::Rect> areas;
};

bool draw_page(shell::OffscreenShell& glass, const Page& page, const samples::Sample& sample,
               look::Light light)
{
    const look::Theme theme = look::make_theme(light, look::Hand::right, page.screen.px_per_mm);
    look::FrameLedger ledger;
    glass.begin_frame();
    look::Canvas canvas(*ImGui::GetBackgroundDrawList(), theme, glass.type(), ledger);
    for (const look::Rect& area : page.areas) {
        canvas.frame(area, {theme.palette.rule, 0.2F});
        field::drawing::paint(canvas,
                              sample.make(field::drawing::box_of(area), field::drawing::metrics_of(canvas)));
    }
    glass.present(theme.palette.paper);
    return true;
}

bool draw_all(const Page& page, const std::filesystem::path& out, const std::string& only)
{
    shell::Options options;
    options.screen = page.screen;
    auto glass     = shell::open_offscreen(options);
    if (!glass) {
        std::fprintf(stderr, "%s\n", glass.error().message.c_str());
        return false;
    }
    for (const samples::Sample& sample : samples::all())
        for (const look::Light light : {look::Light::day, look::Light::dim}) {
            if (!only.empty() && sample.name.find(only) == std::string::npos) continue;
            (void)draw_page(**glass, page, sample, light);
            const std::string name =
                sample.name + "-" + page.name + (light == look::Light::day ? "" : "-dim") + ".png";
            if (!shell::write_png(out / name, (*glass)->image())) return false;
        }
    return true;
}

} // namespace

int main(int argc, char** argv)
{
    if (argc < 3 || std::string(argv[1]) != "--out") {
        std::fprintf(stderr, "usage: drawing_gallery --out DIR [NAME]\n");
        return 2;
    }
    const std::filesystem::path out = argv[2];
    std::error_code             failed;
    std::filesystem::create_directories(out, failed);
    const std::string only    = argc > 3 ? argv[3] : "";
    const Page        pages[] = {
               {"10in",
                look::kTenInch,
                {{4, 4, 105, 86}, {114, 4, 50, 86}, {4, 93, 130, 40}, {168, 4, 46, 46}, {138, 93, 76, 40}}},
               {"8in", look::kEightInchUpright, {{4, 4, 100, 66}, {4, 74, 100, 94}}}};
    for (const Page& page : pages)
        if (!draw_all(page, out, only)) return 1;
    return 0;
}
