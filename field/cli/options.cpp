#include "field/cli/options.h"

#include <charconv>

namespace field::cli {

engine::Result<look::ScreenSize> screen_from(const std::string& size)
{
    const auto refuse = [&] {
        return engine::failure(
            engine::Fault::bad_input,
            "--size '" + size +
                "' is not a size; give width x height in pixels from 600 to 4000, such as 1280x800.");
    };
    const std::size_t cross = size.find('x');
    if (cross == std::string::npos) return refuse();
    look::ScreenSize screen = look::kTenInch;
    const char*      begin  = size.data();
    const char*      middle = begin + cross;
    const char*      end    = begin + size.size();
    if (std::from_chars(begin, middle, screen.w_px).ptr != middle) return refuse();
    if (std::from_chars(middle + 1, end, screen.h_px).ptr != end) return refuse();
    if (screen.w_px < 600 || screen.w_px > 4000 || screen.h_px < 600 || screen.h_px > 4000) return refuse();
    if (screen.portrait()) screen.px_per_mm = look::kEightInchUpright.px_per_mm;
    return screen;
}

std::optional<look::Light> light_from(const std::string& theme)
{
    if (theme == "day") return look::Light::day;
    if (theme == "dim") return look::Light::dim;
    if (theme == "glare") return look::Light::glare;
    return std::nullopt;
}

} // namespace field::cli
