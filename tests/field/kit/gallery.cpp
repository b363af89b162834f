// Writes pictures of every kit part: field_gallery --out DIR [PAGE]. For the eye; the tests look at the same
// pages.
#include "field/shell/offscreen_shell.h"

#include <cstring>
#include <filesystem>
#include <iostream>

#include "gallery_pages.h"

using namespace field;

namespace {

struct Setting {
    const char*      name = "";
    look::ScreenSize screen;
    look::Light      light = look::Light::day;
    look::Hand       hand  = look::Hand::right;
};

int draw_all(const Setting& s, const look::Words& words, const std::filesystem::path& out,
             const std::string& only)
{
    auto opened = shell::open_offscreen({s.screen, false, "gallery"});
    if (!opened) {
        std::cerr << opened.error().message << '\n';
        return 2;
    }
    shell::Shell&     glass = **opened;
    const auto        theme = look::make_theme(s.light, s.hand, s.screen.px_per_mm);
    const auto        photo = glass.upload(gallery::test_picture());
    look::FrameLedger ledger;
    for (const gallery::Page& page : gallery::pages()) {
        if (!only.empty() && page.name != only) continue;
        glass.begin_frame();
        {
            kit::Ui ui({theme, glass.type(), glass.size(), ledger, {}, &words});
            page.draw(ui, photo ? *photo : look::Texture{});
        }
        glass.present(theme.palette.paper);
        const auto written = shell::write_png(out / (page.name + "-" + s.name + ".png"), (*opened)->image());
        if (!written) std::cerr << written.error().message << '\n';
    }
    return 0;
}

} // namespace

int main(int argc, char** argv)
{
    if (argc < 3 || std::strcmp(argv[1], "--out") != 0) {
        std::cerr << "field_gallery --out DIR [PAGE]\n";
        return 2;
    }
    const std::filesystem::path out  = argv[2];
    const std::string           only = argc > 3 ? argv[3] : "";
    std::filesystem::create_directories(out);
    const auto words = look::Words::load_folder(std::filesystem::path(WM_SOURCE_DIR) / "assets/words");
    if (!words) {
        std::cerr << words.error().message << '\n';
        return 2;
    }
    const Setting settings[] = {
        {"day", look::kTenInch, look::Light::day, look::Hand::right},
        {"dim", look::kTenInch, look::Light::dim, look::Hand::right},
        {"glare", look::kTenInch, look::Light::glare, look::Hand::left},
        {"upright-day", look::kEightInchUpright, look::Light::day, look::Hand::right},
        {"upright-dim", look::kEightInchUpright, look::Light::dim, look::Hand::right},
        {"low", {1280, 720, 5.884F}, look::Light::day, look::Hand::left},
    };
    int worst = 0;
    for (const Setting& s : settings)
        worst = std::max(worst, draw_all(s, *words, out, only));
    return worst;
}
