#include "field/kit/value_cell.h"

#include "field/kit/button.h"
#include "field/kit/limit_gauge.h"

#include <algorithm>

namespace field::kit {
namespace {

using look::Across;
using look::Colour;
using look::Rect;
using look::Role;
using look::Upright;

void strike(look::Canvas& canvas, look::Point base, const std::string& text, Role role)
{
    const auto& p     = canvas.palette();
    const float width = canvas.text(base, text, {role, p.soft, Across::left, Upright::baseline});
    const float y     = base.y - canvas.cap_mm(role) * 0.45F;
    canvas.line({base.x - 0.6F, y}, {base.x + width + 0.6F, y}, {p.ink, 0.3F});
}

} // namespace

void reading(look::Canvas& canvas, const Rect& rect, const Reading& reading)
{
    const auto& p      = canvas.palette();
    const float base   = rect.bottom() - 2.2F;
    Colour      colour = reading.act ? p.act : p.ink;
    if (reading.verdict) colour = verdict_colour(p, *reading.verdict);
    float right = rect.right();
    if (!reading.unit.empty())
        right -= canvas.text({right, base}, reading.unit,
                             {Role::value, p.soft, Across::right, Upright::baseline}) +
                 3.0F;
    if (reading.cursor) {
        right -= 1.7F;
        canvas.rect(
            {right, base - canvas.cap_mm(Role::reading) - 0.6F, 1.7F, canvas.cap_mm(Role::reading) + 4.0F},
            p.act);
        right -= 1.6F;
    }
    const look::TextStyle small{Role::label, p.soft, Across::left, Upright::baseline};
    const float           names =
        std::max(canvas.text_width(reading.label, Role::label), canvas.text_width(reading.echo, Role::label));
    const float room = right - rect.x;
    const auto  fits = [&](Role role, float taken) {
        return canvas.text_width(reading.text, role) + taken <= room;
    };
    Role role = Role::reading;
    if (!fits(role, names + 4.0F) && (fits(Role::second, names + 4.0F) || !fits(role, 0)))
        role = Role::second;
    canvas.text({right, base}, reading.text, {role, colour, Across::right, Upright::baseline});
    if (fits(role, names + 4.0F)) {
        canvas.text({rect.x, base}, reading.label, small);
        canvas.text({rect.x, base - canvas.line_mm(Role::label) - 0.6F}, reading.echo, small);
        return;
    }
    // No room beside a long number: the names stand above it.
    const float above = base - canvas.cap_mm(role) - 3.0F;
    canvas.text({rect.x, above}, reading.label, small);
    canvas.text({rect.right(), above}, reading.echo, {Role::label, p.soft, Across::right, Upright::baseline});
}

void value_cell(look::Canvas& canvas, const Rect& rect, const ValueCell& cell)
{
    const auto& p = canvas.palette();
    if (cell.framed) {
        canvas.rect(rect, p.panel, look::kCorner);
        canvas.frame(rect, {cell.open ? p.act : p.rule, cell.open ? 0.7F : 0.35F}, look::kCorner);
    }
    const look::Owner inside(canvas, rect);
    const Role        role   = cell.framed ? Role::value : Role::label;
    const Across      across = cell.framed ? Across::centre : Across::left;
    const float       x      = cell.framed ? rect.centre().x : rect.x;
    const float       label  = canvas.cap_mm(Role::label);
    const float       gap    = cell.framed ? 2.6F : 2.2F;
    const float       block  = label + gap + canvas.cap_mm(role);
    const float       top    = cell.framed ? rect.y + (rect.h - block) / 2 : rect.y;
    const float       room   = rect.w - (cell.framed ? 2.0F : 0.0F);
    canvas.text_fitted({x, top + label}, cell.label, {Role::label, p.soft, across, Upright::baseline}, room);
    const float base = top + block;
    if (cell.value.empty()) {
        canvas.text_fitted({x, base}, cell.prompt, {role, p.act, across, Upright::baseline}, room);
        return;
    }
    const Colour colour = cell.verdict ? verdict_colour(p, *cell.verdict) : p.ink;
    if (!cell.struck.empty()) {
        const float old         = canvas.text_width(cell.struck, Role::label);
        const float now         = canvas.text_width(cell.value, role);
        const float gap_between = 2.5F;
        const float left        = cell.framed ? x - (old + gap_between + now) / 2 : x;
        strike(canvas, {left, base}, cell.struck, Role::label);
        canvas.text({left + old + gap_between, base}, cell.value,
                    {role, colour, Across::left, Upright::baseline});
        return;
    }
    const Role fitting = canvas.text_width(cell.value, role) <= room ? role : Role::label;
    canvas.text_fitted({x, base}, cell.value, {fitting, colour, across, Upright::baseline}, room);
}

float labelled_value(look::Canvas& canvas, const Rect& rect, const LabelledValue& line)
{
    const auto& p     = canvas.palette();
    const Role  small = line.desk ? Role::desk : Role::label;
    const Role  big   = line.desk ? Role::desk_value : Role::value;
    const float base  = rect.y + canvas.cap_mm(big);
    float       right = rect.right();
    if (!line.unit.empty())
        right -=
            canvas.text({right, base}, line.unit, {small, p.soft, Across::right, Upright::baseline}) + 2.0F;
    right -= canvas.text({right, base}, line.value, {big, p.ink, Across::right, Upright::baseline}) + 2.0F;
    canvas.text_fitted({rect.x, base}, line.label, {small, p.soft, Across::left, Upright::baseline},
                       right - rect.x);
    if (!line.share) return canvas.cap_mm(big) * 1.4F;
    const float bar_top = base + canvas.cap_mm(big) * 0.55F;
    share_bar(canvas, {rect.x, bar_top, rect.w, line.desk ? 2.0F : 2.7F}, *line.share);
    return bar_top + (line.desk ? 2.0F : 2.7F) - rect.y;
}

} // namespace field::kit
