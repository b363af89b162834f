#include "field/kit/photo_slot.h"

#include "field/look/symbols.h"

#include <array>

namespace field::kit {

using look::Across;
using look::Rect;
using look::Role;
using look::Upright;

bool photo_slot(Ui& ui, std::string_view id, const Rect& rect, const PhotoSlot& slot)
{
    const bool        tapped = ui.hit(id, rect, {true, Repeat::no, slot.caption}).tapped;
    look::Canvas&     canvas = ui.canvas();
    const auto&       p      = ui.palette();
    const Role        role   = slot.desk ? Role::desk : Role::label;
    Rect              box    = rect;
    const look::Owner inside(canvas, rect);
    if (!slot.caption.empty()) {
        const Rect caption = box.cut_bottom(canvas.cap_mm(role) * 1.3F, canvas.cap_mm(role) * 0.5F);
        canvas.text_fitted({caption.x, caption.y + canvas.cap_mm(role)}, slot.caption,
                           {role, p.soft, Across::left, Upright::baseline}, caption.w);
    }
    if (slot.picture) {
        canvas.image(slot.picture, box);
        canvas.frame(box, {p.steel_edge, 0.2F});
        return tapped;
    }
    const Rect line = box.inset(0.2F);
    canvas.rect(box, p.panel);
    canvas.dashed(std::array{look::Point{line.x, line.y}, look::Point{line.right(), line.y},
                             look::Point{line.right(), line.bottom()}, look::Point{line.x, line.bottom()},
                             look::Point{line.x, line.y}},
                  {slot.needed ? p.act : p.steel_edge, 0.35F}, {2.4F, 1.6F});
    const std::string says = ui.say("photo.not_taken");
    const float       icon = slot.desk ? 4.4F : 7.6F;
    const float       gap  = canvas.cap_mm(role) * 1.1F;
    const bool        room = box.h > icon + gap + canvas.cap_mm(role) + 3.0F;
    if (room)
        draw_symbol(canvas, look::Symbol::camera,
                    {box.centre().x, box.centre().y - (gap + canvas.cap_mm(role)) / 2}, icon,
                    slot.needed ? p.act : p.soft);
    const float base = room ? box.centre().y + (icon + gap + canvas.cap_mm(role)) / 2
                            : box.centre().y + canvas.cap_mm(role) / 2;
    canvas.text_fitted({box.centre().x, base}, says, {role, p.soft, Across::centre, Upright::baseline},
                       box.w - 2.0F);
    return tapped;
}

} // namespace field::kit
