#include "field/kit/hazard_panel.h"

#include "field/look/symbols.h"

namespace field::kit {
namespace {

using look::Across;
using look::Rect;
using look::Role;
using look::Upright;

constexpr float kPad      = 3.4F;
constexpr float kTriangle = 6.6F;
constexpr float kOneLine  = 12.8F;

struct Kind {
    look::HazardColours colours;
    const char*         word{};
    bool                triangle{};
};
Kind kind_of(Signal signal)
{
    switch (signal) {
    case Signal::danger:
        return {look::kDanger, "hazard.danger", true};
    case Signal::warning:
        return {look::kWarning, "hazard.warning", true};
    case Signal::caution:
        return {look::kCaution, "hazard.caution", true};
    case Signal::notice:
        break;
    }
    return {look::kNotice, "hazard.notice", false};
}

struct Plan {
    float word_x; // from the left edge
    float text_x;
    bool  one_line;
    float height;
};
Plan plan(Ui& ui, float width, const HazardPanel& panel)
{
    const Kind    kind   = kind_of(panel.signal);
    look::Canvas& canvas = ui.canvas();
    Plan          p{};
    p.word_x         = kPad + (kind.triangle ? kTriangle * 1.06F + 2.6F : 0);
    const float word = canvas.text_width(ui.say(kind.word), Role::label_bold);
    p.text_x         = p.word_x + word + 3.0F;
    p.one_line       = p.text_x + canvas.text_width(panel.text, Role::label) + kPad <= width;
    p.height         = kOneLine;
    if (p.one_line) return p;
    p.text_x = p.word_x;
    p.height = kPad * 2 + canvas.line_mm(Role::label) +
               canvas.wrapped_height_mm(width - p.word_x - kPad, panel.text, Role::label);
    return p;
}

} // namespace

float hazard_height_mm(Ui& ui, float width_mm, const HazardPanel& panel)
{
    return plan(ui, width_mm, panel).height;
}

float hazard_panel(Ui& ui, const Rect& rect, const HazardPanel& panel)
{
    const Kind        kind   = kind_of(panel.signal);
    const Plan        p      = plan(ui, rect.w, panel);
    look::Canvas&     canvas = ui.canvas();
    const Rect        box{rect.x, rect.y, rect.w, p.height};
    const look::Owner inside(canvas, box);
    canvas.rect(box, kind.colours.ground, 1.0F);
    const float word_base = p.one_line ? box.centre().y + canvas.cap_mm(Role::label) / 2
                                       : box.y + kPad + canvas.cap_mm(Role::label);
    if (kind.triangle)
        draw_hazard_triangle(
            canvas, {box.x + kPad + kTriangle / 2, p.one_line ? box.centre().y : box.y + kPad + 2.0F},
            kTriangle, kind.colours);
    canvas.text({box.x + p.word_x, word_base}, ui.say(kind.word),
                {Role::label_bold, kind.colours.letters, Across::left, Upright::baseline});
    const look::TextStyle text{Role::label, kind.colours.letters, Across::left, Upright::baseline};
    if (p.one_line)
        canvas.text({box.x + p.text_x, word_base}, panel.text, text);
    else
        canvas.text_wrapped({box.x + p.text_x,
                             word_base + canvas.line_mm(Role::label) - canvas.cap_mm(Role::label),
                             box.w - p.text_x - kPad, box.h},
                            panel.text, text);
    return p.height;
}

} // namespace field::kit
