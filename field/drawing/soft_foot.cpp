#include "field/drawing/alignment.h"
#include "field/drawing/shapes.h"

#include <algorithm>

namespace field::drawing {

Sketch sketch(const FootPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    const double row = out.row(Letters::instruction);
    const Box    part{-1.32, -1.06, 1.32, 1.06};
    const Frame  f   = fit(part, inset(area, 0.5));
    const auto   box = [&](double l, double t, double r, double b) {
        const Point p = f.map(Point{l, t}), q = f.map(Point{r, b});
        return Box{p.x, p.y, q.x, q.y};
    };
    out.body(rounded(box(-1.3, -0.72, 1.3, 0.72), f.length(0.09)), Tone::steel_light);
    out.body(rounded(box(-0.46, -0.84, 0.46, 0.84), f.length(0.25)), Tone::steel);
    out.body(rectangle(box(-0.2, -1.04, 0.2, 1.04)), Tone::steel_dark);
    out.line({f.map(Point{0, -1.06}), f.map(Point{0, 1.06})}, kCentre);
    static constexpr Point kFour[] = {{-0.88, -0.36}, {0.88, -0.36}, {0.88, 0.36}, {-0.88, 0.36}};
    static constexpr Point kTwo[]  = {{-0.88, 0}, {0.88, 0}};
    const std::size_t      feet    = picture.feet == 2 ? 2 : 4;
    for (std::size_t i = 0; i < feet; ++i) {
        const Point c   = f.map(feet == 2 ? kTwo[i] : kFour[i]);
        const auto& gap = picture.gap[i];
        const bool  now = static_cast<int>(i) == picture.current, over = gap && *gap > picture.limit;
        const Tone  tone = over ? Tone::outside : gap ? Tone::inside : now ? Tone::mark : Tone::soft;
        const Box foot{c.x - f.length(0.38), c.y - std::max(row * 0.6, f.length(0.24)), c.x + f.length(0.38),
                       c.y + std::max(row * 0.6, f.length(0.24))};
        out.body(rounded(foot, 1.5), over ? Tone::outside_soft : Tone::panel,
                 now    ? kHeavy
                 : over ? Pen{Tone::outside, 0.6, Dash::solid}
                        : kEdge);
        if (over) { // a thicker foot line: it hangs in the air
            out.hatch(rounded(foot, 1.5), Lean::right, 2.0, Tone::outside);
            const double w = out.width_of(fixed(gap->value, picture.decimals),
                                          {Letters::instruction, true, tone, Side::middle});
            out.fill(rounded({c.x - w / 2 - 0.8, c.y - row * 0.45, c.x + w / 2 + 0.8, c.y + row * 0.45}, 0.8),
                     Tone::panel);
        }
        out.words(gap ? fixed(gap->value, picture.decimals) : std::to_string(i + 1), c,
                  {Letters::instruction, gap || now, tone, Side::middle});
    }
    return out;
}

} // namespace field::drawing
