#include "field/kit/steel_rule.h"

#include <algorithm>
#include <array>

namespace field::kit {

void steel_rule(look::Canvas& canvas, const look::Rect& rect, const SteelRule& rule)
{
    if (rule.steps <= 0) return;
    const look::Palette& p = canvas.palette();
    const look::Rect     steel{rect.x, rect.y + 0.6F, rect.w, 3.6F};
    const float          step  = steel.w / static_cast<float>(rule.steps);
    const auto           place = [&](float graduation) { return steel.x + step * graduation; };
    canvas.rect(steel, p.steel);
    look::Rect done{steel.x, steel.y, step * static_cast<float>(std::clamp(rule.done, 0, rule.steps)),
                    steel.h};
    if (p.done == p.ink) done = done.cut_bottom(1.4F); // glare: black over the graduations would hide them
    canvas.rect(done, p.done);
    const bool fine = step > 9.0F; // fifths only where they can be told apart
    for (int i = 0; i <= rule.steps; ++i) {
        const float x = place(static_cast<float>(i));
        canvas.line({x, steel.y}, {x, steel.y + 2.9F}, {p.steel_edge, 0.3F});
        for (int fifth = 1; fine && fifth < 5 && i < rule.steps; ++fifth) {
            const float minor = x + step * static_cast<float>(fifth) / 5;
            canvas.line({minor, steel.y}, {minor, steel.y + 1.2F}, {p.steel_edge, 0.17F});
        }
    }
    canvas.line({steel.x, steel.y}, {steel.right(), steel.y}, {p.steel_edge, 0.2F});
    canvas.line({steel.x, steel.bottom()}, {steel.right(), steel.bottom()}, {p.steel_edge, 0.2F});
    canvas.line({steel.x, steel.y}, {steel.x, steel.bottom()}, {p.steel_edge, 0.3F});
    canvas.line({steel.right(), steel.y}, {steel.right(), steel.bottom()}, {p.steel_edge, 0.3F});
    for (const int hold : rule.holds) {
        const float x = place(static_cast<float>(hold + 1));
        canvas.fill(std::array{look::Point{x - 1.4F, steel.y - 1.0F}, look::Point{x + 1.4F, steel.y - 1.0F},
                               look::Point{x, steel.y + 0.7F}},
                    p.watch);
    }
    if (rule.at < 0 || rule.at >= rule.steps) return;
    const float x = place(static_cast<float>(rule.at) + 0.5F);
    canvas.fill(std::array{look::Point{x, steel.bottom() - 1.5F},
                           look::Point{x + 2.2F, steel.bottom() + 1.1F},
                           look::Point{x - 2.2F, steel.bottom() + 1.1F}},
                p.act);
}

} // namespace field::kit
