#include "field/app/settings_file.h"

#include <nlohmann/json.hpp>

#include <fstream>

namespace field::app {

using nlohmann::json;

namespace {
constexpr const char* kLights[] = {"day", "dim", "glare"};
}

screens::Settings load_settings(const std::filesystem::path& file)
{
    screens::Settings settings;
    std::ifstream     in(file);
    const json        kept = json::parse(in, nullptr, false);
    if (!kept.is_object()) return settings;
    const auto text = [&](const char* key) {
        const auto it = kept.find(key);
        return it != kept.end() && it->is_string() ? it->get<std::string>() : std::string{};
    };
    settings.units = text("units") == "in" ? screens::Units::inch : screens::Units::mm;
    settings.hand  = text("hand") == "left" ? look::Hand::left : look::Hand::right;
    for (int i = 0; i < 3; ++i)
        if (text("light") == kLights[i]) settings.light = static_cast<look::Light>(i);
    settings.badge = text("badge");
    if (const auto it = kept.find("px_per_mm"); it != kept.end() && it->is_number())
        settings.px_per_mm = it->get<float>();
    if (!(settings.px_per_mm > 2.0F && settings.px_per_mm < 30.0F)) settings.px_per_mm = 0;
    return settings;
}

engine::Status save_settings(const std::filesystem::path& file, const screens::Settings& settings)
{
    const json                  kept{{"units", settings.units == screens::Units::inch ? "in" : "mm"},
                    {"hand", settings.hand == look::Hand::left ? "left" : "right"},
                    {"light", kLights[static_cast<int>(settings.light)]},
                    {"badge", settings.badge},
                    {"px_per_mm", settings.px_per_mm}};
    const std::filesystem::path fresh = file.string() + ".new";
    {
        std::ofstream out(fresh, std::ios::trunc);
        out << kept.dump(2) << '\n';
        if (!out.flush())
            return engine::failure(engine::Fault::io,
                                   "The settings cannot be written to " + file.string() + ".");
    }
    std::error_code trouble;
    std::filesystem::rename(fresh, file, trouble);
    if (trouble)
        return engine::failure(engine::Fault::io, "The settings cannot be written to " + file.string() + ".",
                               trouble.message());
    return engine::Unit{};
}

} // namespace field::app
