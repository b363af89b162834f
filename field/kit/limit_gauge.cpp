#include "field/kit/limit_gauge.h"

#include "field/look/symbols.h"

#include <algorithm>
#include <cmath>

namespace field::kit {
namespace {

using look::Across;
using look::Rect;
using look::Role;
using look::Upright;

struct Scale {
    double from{};
    double to{1};
    float  left{};
    float  width{};

    [[nodiscard]] float place(double value) const
    {
        const double share = std::clamp((value - from) / (to - from), 0.0, 1.0);
        return left + width * static_cast<float>(share);
    }
};

/// The band takes about half of the gauge; readings far outside stretch the scale, so that none leaves it.
Scale scale_of(const LimitGauge& gauge, const Rect& track)
{
    double low  = gauge.low.value_or(gauge.high.value_or(0));
    double high = gauge.high.value_or(gauge.low.value_or(1));
    double span = high - low;
    if (span <= 0) { // one-sided: the distance of the farthest reading, or a tenth of the limit
        span = std::abs(high) * 0.1 + 1e-9;
        for (const GaugeTick& tick : gauge.ticks)
            span = std::max(span, std::abs(tick.value - high) * 1.2);
    }
    Scale scale{low - 0.6 * span, high + 0.5 * span, track.x, track.w};
    for (const GaugeTick& tick : gauge.ticks) {
        scale.from = std::min(scale.from, tick.value - tick.uncertainty - 0.1 * span);
        scale.to   = std::max(scale.to, tick.value + tick.uncertainty + 0.1 * span);
    }
    return scale;
}

look::Colour tick_colour(const look::Palette& p, const GaugeTick& tick)
{
    return tick.verdict ? verdict_colour(p, *tick.verdict) : p.act;
}

void draw_band(look::Canvas& canvas, const Rect& track, const LimitGauge& gauge, const Scale& scale)
{
    const look::Palette& p    = canvas.palette();
    const float          line = gauge.desk ? 0.2F : 0.35F;
    const float          from = gauge.low ? scale.place(*gauge.low) : track.x;
    const float          to   = gauge.high ? scale.place(*gauge.high) : track.right();
    const Rect           band{from, track.y - 0.15F, to - from, track.h + 0.3F};
    canvas.rect(track, p.track, 0.5F);
    if (p.track == p.paper) canvas.frame(track, {p.rule, 0.2F}); // glare
    canvas.rect(band, p.inside_pale);
    canvas.line({from, band.y}, {to, band.y}, {p.inside, line});
    canvas.line({from, band.bottom()}, {to, band.bottom()}, {p.inside, line});
    if (gauge.low) canvas.line({from, band.y - line / 2}, {from, band.bottom() + line / 2}, {p.inside, line});
    if (gauge.high) canvas.line({to, band.y - line / 2}, {to, band.bottom() + line / 2}, {p.inside, line});
}

void draw_numbers(look::Canvas& canvas, const Rect& track, const LimitGauge& gauge, const Scale& scale)
{
    const Role            role = gauge.desk ? Role::desk : Role::label;
    const float           base = track.bottom() + 2.0F + canvas.cap_mm(role);
    const look::TextStyle style{role, canvas.palette().soft, Across::left, Upright::baseline};
    const float           low_w  = canvas.text_width(gauge.low_text, role);
    const float           high_w = canvas.text_width(gauge.high_text, role);
    const auto            inside = [&](float centre, float width) {
        return std::clamp(centre - width / 2, track.x, std::max(track.x, track.right() - width));
    };
    float low_x  = gauge.low ? inside(scale.place(*gauge.low), low_w) : track.x;
    float high_x = gauge.high ? inside(scale.place(*gauge.high), high_w) : track.x;
    if (gauge.low && gauge.high && low_x + low_w + 2.5F > high_x) { // narrow band: push the two numbers apart
        const float middle = (low_x + low_w + high_x) / 2;
        low_x              = std::max(track.x, middle - 1.25F - low_w);
        high_x             = std::min(track.right() - high_w, middle + 1.25F);
    }
    if (gauge.low) canvas.text({low_x, base}, gauge.low_text, style);
    if (gauge.high) canvas.text({high_x, base}, gauge.high_text, style);
}

void draw_tick(look::Canvas& canvas, const Rect& track, const GaugeTick& tick, const Scale& scale)
{
    const look::Colour colour = tick_colour(canvas.palette(), tick);
    const float        x      = scale.place(tick.value);
    const float        middle = track.centre().y;
    const float        reach  = track.h / 2 + (track.h > 2 ? 1.7F : 1.2F);
    const float        width  = track.h > 2 ? 1.1F : 0.75F;
    if (tick.uncertainty > 0)
        canvas.line({scale.place(tick.value - tick.uncertainty), middle},
                    {scale.place(tick.value + tick.uncertainty), middle}, {colour, width});
    canvas.line({x, middle - reach}, {x, middle + reach}, {colour, width});
}

} // namespace

look::Colour verdict_colour(const look::Palette& palette, engine::Verdict verdict)
{
    switch (verdict) {
    case engine::Verdict::undecided:
        return palette.watch;
    case engine::Verdict::outside:
        return palette.outside;
    case engine::Verdict::inside:
        break;
    }
    return palette.ink;
}

float gauge_height_mm(const look::Canvas& canvas, const LimitGauge& gauge)
{
    const bool numbers = !gauge.low_text.empty() || !gauge.high_text.empty();
    const Role role    = gauge.desk ? Role::desk : Role::label;
    return (gauge.desk ? 4.4F : 6.2F) + (numbers ? canvas.cap_mm(role) + 1.4F : 0);
}

void limit_gauge(look::Canvas& canvas, const Rect& rect, const LimitGauge& gauge)
{
    const float symbol = gauge.show_symbol ? (gauge.desk ? 3.2F : 6.0F) : 0;
    const Rect  track{rect.x, rect.y + (gauge.desk ? 1.2F : 1.7F), rect.w - (symbol > 0 ? symbol + 2.2F : 0),
                     gauge.desk ? 2.0F : 2.8F};
    const Scale scale = scale_of(gauge, track);
    draw_band(canvas, track, gauge, scale);
    auto worst = engine::Verdict::inside;
    bool known = false;
    for (const GaugeTick& tick : gauge.ticks) {
        draw_tick(canvas, track, tick, scale);
        if (tick.verdict) worst = engine::worst(worst, *tick.verdict), known = true;
    }
    draw_numbers(canvas, track, gauge, scale);
    if (symbol <= 0 || !known) return;
    constexpr look::Symbol symbols[] = {look::Symbol::inside, look::Symbol::undecided, look::Symbol::outside};
    draw_symbol(canvas, symbols[static_cast<int>(worst)], {rect.right() - symbol / 2, track.centre().y},
                symbol);
}

void share_bar(look::Canvas& canvas, const Rect& rect, float share)
{
    const look::Palette& p = canvas.palette();
    canvas.rect(rect, p.track, 0.5F);
    if (p.track == p.paper) canvas.frame(rect, {p.rule, 0.2F});
    if (share > 0) canvas.rect({rect.x, rect.y, rect.w * std::min(share, 1.0F), rect.h}, p.act, 0.5F);
}

} // namespace field::kit
