#include "field/kit/button.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <string_view>

namespace field::kit {
namespace {

using look::Across;
using look::Colour;
using look::Rect;
using look::Role;
using look::Upright;

struct Dress {
    Colour ground;
    Colour edge;
    float  edge_mm{};
    Colour title;
    Colour sub;
};

Dress dress_of(const look::Palette& p, const ButtonSpec& spec, bool down)
{
    if (spec.kind == ButtonKind::act && spec.enabled)
        return down ? Dress{p.ink, p.ink, 0, p.paper, p.paper}
                    : Dress{p.act, p.act, 0, p.on_act, p.on_act_sub};
    if (spec.kind == ButtonKind::act) {
        const bool white = p.act_pale == p.paper; // glare: an empty button needs an edge to be seen
        return {p.act_pale, p.ink, white ? 0.35F : 0, p.on_pale, p.on_pale};
    }
    if (!spec.enabled) return {p.paper, p.rule, 0.35F, p.soft, p.soft};
    if (down) return {p.ink, p.ink, 0, p.paper, p.paper};
    if (spec.kind == ButtonKind::chosen) return {p.panel, p.act, 0.7F, p.act, p.soft};
    return {p.panel, p.rule, spec.kind == ButtonKind::plain ? 0 : 0.35F, p.ink, p.soft};
}

Role title_role(const ButtonSpec& spec)
{
    if (spec.desk) return spec.kind == ButtonKind::act ? Role::desk_title : Role::desk_value;
    if (spec.kind == ButtonKind::act && spec.role == Role::instruction) return Role::action;
    return spec.role;
}

/// A role small enough for the room; never below the smallest letters allowed at the machine.
Role fitting(const look::Canvas& canvas, const std::string& text, Role wanted, float room_mm)
{
    if (canvas.text_width(text, wanted) <= room_mm) return wanted;
    if (wanted == Role::action && canvas.text_width(text, Role::instruction_bold) <= room_mm)
        return Role::instruction_bold;
    if (wanted == Role::action || wanted == Role::instruction_bold) return Role::label_bold;
    return Role::label;
}

/// Where a title that is too wide for one line breaks so that both lines are as even as can be; none when it
/// has no gap.
std::optional<std::size_t> break_of(const look::Canvas& canvas, std::string_view title, Role role)
{
    std::optional<std::size_t> best;
    float                      narrowest = 0;
    for (std::size_t gap = title.find(' '); gap != std::string_view::npos; gap = title.find(' ', gap + 1)) {
        const float width = std::max(canvas.text_width(title.substr(0, gap), role),
                                     canvas.text_width(title.substr(gap + 1), role));
        if (best && width >= narrowest) continue;
        best = gap, narrowest = width;
    }
    return best;
}

void write(look::Canvas& canvas, const Rect& rect, const ButtonSpec& spec, const Dress& dress)
{
    const look::Owner inside(canvas, rect);
    const float       symbol = spec.symbol == look::Symbol::none ? 0 : 7.6F;
    const float       gap    = symbol > 0 && !spec.title.empty() ? 3.8F : 0;
    const float       room   = rect.w - 3.0F - symbol * 1.25F - gap;
    const Role  role   = spec.desk ? title_role(spec) : fitting(canvas, spec.title, title_role(spec), room);
    const Role  second = spec.desk ? Role::desk : Role::action_sub;
    const float width  = std::min(room, std::max(canvas.text_width(spec.title, role),
                                                spec.sub.empty() ? 0 : canvas.text_width(spec.sub, second)));
    const look::Point middle = rect.centre();
    const float       left   = middle.x - (symbol * 1.25F + gap + width) / 2;
    const float       text_x = left + symbol * 1.25F + gap + width / 2;
    float             base   = middle.y + canvas.cap_mm(role) / 2;
    if (symbol > 0) draw_symbol(canvas, spec.symbol, {left + symbol * 0.625F, middle.y}, symbol, dress.title);
    if (!spec.sub.empty()) {
        const float space = canvas.cap_mm(second) * 1.15F;
        const float block = canvas.cap_mm(role) + space + canvas.cap_mm(second);
        base              = middle.y - block / 2 + canvas.cap_mm(role);
        canvas.text_fitted({text_x, base + space + canvas.cap_mm(second)}, spec.sub,
                           {second, dress.sub, Across::centre, Upright::baseline}, room);
    }
    const look::TextStyle style{role, dress.title, Across::centre, Upright::baseline};
    const auto            gap_at = spec.sub.empty() && canvas.text_width(spec.title, role) > room
                                       ? break_of(canvas, spec.title, role)
                                       : std::nullopt;
    if (!gap_at) {
        canvas.text_fitted({text_x, base}, spec.title, style, room);
        return;
    }
    const float down = canvas.line_mm(role) / 2;
    canvas.text_fitted({text_x, base - down}, std::string_view(spec.title).substr(0, *gap_at), style, room);
    canvas.text_fitted({text_x, base + down}, std::string_view(spec.title).substr(*gap_at + 1), style, room);
}

} // namespace

Touch button(Ui& ui, std::string_view id, const Rect& rect, const ButtonSpec& spec)
{
    const Touch   touch  = ui.hit(id, rect, {spec.enabled, Repeat::no, spec.title});
    const Dress   dress  = dress_of(ui.palette(), spec, touch.down);
    look::Canvas& canvas = ui.canvas();
    canvas.rect(rect, dress.ground, look::kCorner);
    if (dress.edge_mm > 0) canvas.frame(rect, {dress.edge, dress.edge_mm}, look::kCorner);
    write(canvas, rect, spec, dress);
    return touch;
}

void card(look::Canvas& canvas, const Rect& rect, bool chosen)
{
    const look::Palette& p = canvas.palette();
    canvas.rect(rect, p.panel, look::kCorner);
    canvas.frame(rect, {chosen ? p.act : p.rule, chosen ? 0.7F : 0.2F}, look::kCorner);
}

int choices(Ui& ui, std::string_view id, const Rect& rect, const Choices& choices)
{
    const auto count   = static_cast<int>(choices.answers.size());
    const int  columns = choices.columns > 0 ? choices.columns : (count == 3 ? 3 : 2);
    const int  rows    = (count + columns - 1) / columns;
    int        tapped  = -1;
    for (int i = 0; i < count; ++i) {
        ButtonSpec spec;
        spec.title = choices.answers[static_cast<std::size_t>(i)];
        spec.kind  = i == choices.chosen ? ButtonKind::chosen : ButtonKind::quiet;
        if (button(ui, std::string(id) + "." + std::to_string(i), look::cell(rect, {columns, rows, kGap}, i),
                   spec))
            tapped = i;
    }
    return tapped;
}

int steppers(Ui& ui, std::string_view id, const Rect& rect)
{
    constexpr std::array steps{-5, -1, 1, 5};
    int                  sum = 0;
    for (int i = 0; i < 4; ++i) {
        const int         step = steps[static_cast<std::size_t>(i)];
        const std::string says = (step < 0 ? "\u2212" : "+") + std::to_string(std::abs(step));
        const Rect        box  = look::cell(rect, {4, 1, kGap}, i);
        const Touch touch      = ui.hit(std::string(id) + (step < 0 ? "." : ".+") + std::to_string(step), box,
                                        {true, Repeat::while_held, says});
        const auto& p          = ui.palette();
        ui.canvas().rect(box, touch.down ? p.ink : p.panel, look::kCorner);
        if (!touch.down) ui.canvas().frame(box, {p.rule, 0.35F}, look::kCorner);
        const look::Owner inside(ui.canvas(), box);
        ui.canvas().text(box.centre(), says,
                         {Role::key, touch.down ? p.paper : p.ink, Across::centre, Upright::middle});
        if (touch) sum += step;
    }
    return sum;
}

} // namespace field::kit
