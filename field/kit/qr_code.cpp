#include "field/kit/qr_code.h"

#include <algorithm>
#include <cmath>

namespace field::kit {

look::Rect qr_code(look::Canvas& canvas, const look::Rect& rect, const camera::QrBits& bits)
{
    const int   modules   = bits.side + 2 * camera::kQuietZone;
    const float room_px   = canvas.px(std::min(rect.w, rect.h));
    const float module_px = std::floor(room_px / static_cast<float>(modules));
    if (bits.side <= 0 || module_px < 2.0F) return {};
    const auto       snapped = [&](float mm) { return canvas.mm(std::round(canvas.px(mm))); };
    const float      module  = canvas.mm(module_px);
    const float      side    = module * static_cast<float>(modules);
    const look::Rect white{snapped(rect.x + (rect.w - side) / 2), snapped(rect.y + (rect.h - side) / 2), side,
                           side};
    canvas.rect(white, look::hex(0xFFFFFF));
    const float quiet = module * static_cast<float>(camera::kQuietZone);
    for (int y = 0; y < bits.side; ++y) {
        for (int x = 0; x < bits.side;) {
            int run = 0; // dark neighbours are one box: fewer shapes, no seams
            while (x + run < bits.side && bits.at(x + run, y))
                ++run;
            if (run > 0)
                canvas.rect({white.x + quiet + module * static_cast<float>(x),
                             white.y + quiet + module * static_cast<float>(y),
                             module * static_cast<float>(run), module},
                            look::hex(0x000000));
            x += std::max(run, 1);
        }
    }
    return white;
}

} // namespace field::kit
