#include "field/kit/list_row.h"

#include <algorithm>

namespace field::kit {
namespace {

using look::Across;
using look::Colour;
using look::Rect;
using look::Role;
using look::Upright;

struct Letters {
    Role title;
    Role second;
    Role time;
};
Letters letters_of(const ListRow& row)
{
    return row.desk ? Letters{Role::desk_bold, Role::desk, Role::desk}
                    : Letters{Role::instruction_bold, Role::label, Role::label};
}

void action_cell(look::Canvas& canvas, const Rect& cell, const ListRow& row, bool down)
{
    const auto& p      = canvas.palette();
    Colour      colour = row.enabled ? p.ink : p.soft;
    if (row.first) {
        // Rounded on the outside only: the square half is laid over the inner corners.
        canvas.rect(cell, down ? p.ink : p.act, look::kCorner);
        canvas.rect({cell.x, cell.y, look::kCorner * 1.5F, cell.h}, down ? p.ink : p.act);
        colour = down ? p.paper : p.on_act;
    } else {
        canvas.line({cell.x, cell.y}, {cell.x, cell.bottom()}, {p.rule, 0.2F});
        if (down) colour = p.paper;
    }
    const look::Owner inside(canvas, cell);
    const Role        big  = row.first ? Role::instruction_bold : Role::instruction;
    const bool        fits = canvas.text_width(row.action, big) <= cell.w - 3.0F;
    const Role role = row.desk ? Role::desk_value : fits ? big : row.first ? Role::label_bold : Role::label;
    canvas.text_fitted(cell.centre(), row.action, {role, colour, Across::centre, Upright::middle},
                       cell.w - 2.0F);
}

void write(look::Canvas& canvas, Rect box, const ListRow& row, bool down)
{
    const auto&       p = canvas.palette();
    const Letters     l = letters_of(row);
    const look::Owner inside(canvas, box);
    const float       size = row.desk ? 5.8F : 6.2F;
    if (row.symbol != look::Symbol::none) {
        const auto colour = down ? std::optional<Colour>(p.paper) : row.symbol_colour;
        draw_symbol(canvas, row.symbol, {box.x + (row.desk ? 6.6F : 8.0F), box.centre().y}, size, colour);
        box.cut_left(row.desk ? 13.2F : 16.0F);
    } else
        box.cut_left(4.0F);
    box.cut_right(row.desk ? 2.0F : 3.0F);
    const Colour title = down ? p.paper : p.ink;
    const Colour soft  = down ? p.paper : p.soft;
    const float  gap   = canvas.cap_mm(l.second) * (row.desk ? 1.1F : 0.95F);
    const float  head  = canvas.cap_mm(l.title);
    // A tall row lets the second line run over into more lines; a low one cuts it off.
    const bool  wraps  = head + gap + canvas.wrapped_height_mm(box.w, row.second, l.second) + 4.0F <= box.h;
    const float second = row.second.empty() ? 0
                         : wraps            ? gap + canvas.wrapped_height_mm(box.w, row.second, l.second)
                                            : gap + canvas.cap_mm(l.second);
    const float base   = box.centre().y - (head + second) / 2 + head;
    float       room   = box.w;
    if (!row.time.empty())
        room -= canvas.text({box.right(), base}, row.time, {l.time, soft, Across::right, Upright::baseline}) +
                2.0F;
    canvas.text_fitted({box.x, base}, row.title, {l.title, title, Across::left, Upright::baseline}, room);
    const look::TextStyle style{l.second, soft, Across::left, Upright::baseline};
    if (wraps)
        canvas.text_wrapped({box.x, base + gap, box.w, box.bottom() - base - gap}, row.second, style);
    else
        canvas.text_fitted({box.x, base + gap + canvas.cap_mm(l.second)}, row.second, style, box.w);
}

} // namespace

Touch list_row(Ui& ui, std::string_view id, const Rect& rect, const ListRow& row)
{
    const Touch   touch  = ui.hit(id, rect, {row.enabled, Repeat::no, row.title});
    look::Canvas& canvas = ui.canvas();
    const auto&   p      = ui.palette();
    const bool    strong = row.first || row.chosen;
    canvas.rect(rect, touch.down ? p.ink : p.panel, look::kCorner);
    Rect box = rect;
    if (!row.action.empty())
        action_cell(canvas, box.cut_right(ui.portrait() ? std::min(26.0F, rect.w * 0.3F) : rect.w * 0.2F),
                    row, touch.down);
    if (!touch.down)
        canvas.frame(rect, {strong ? p.act : p.rule, strong ? (row.desk ? 0.5F : 0.7F) : 0.2F},
                     look::kCorner);
    write(canvas, box, row, touch.down);
    return touch;
}

void check_line(look::Canvas& canvas, const Rect& rect, const ListRow& row)
{
    const auto& p    = canvas.palette();
    const bool  here = row.symbol == look::Symbol::here;
    const bool  open = row.symbol == look::Symbol::not_done || row.symbol == look::Symbol::held;
    const float size = row.desk ? 3.8F : 4.5F;
    draw_symbol(canvas, row.symbol, {rect.x + size * 0.55F, rect.centre().y}, size, row.symbol_colour);
    const Role  regular = row.desk ? Role::desk : Role::label;
    const Role  bold    = row.desk ? Role::desk_bold : Role::label_bold;
    const float x       = rect.x + size * 1.1F + (row.desk ? 2.4F : 2.6F);
    canvas.text_fitted({x, rect.centre().y}, row.title,
                       {here ? bold : regular,
                        here   ? p.act
                        : open ? p.soft
                               : p.ink,
                        Across::left, Upright::middle},
                       rect.right() - x);
}

} // namespace field::kit
