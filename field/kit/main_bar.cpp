#include "field/kit/main_bar.h"

#include <algorithm>
#include <array>

namespace field::kit {
namespace {

using look::Across;
using look::Rect;
using look::Role;
using look::Upright;

/// Boxes for the small buttons: the usual three places, or the same room shared by fewer.
std::vector<Rect> side_boxes(const ScreenAreas& a, std::size_t count, bool mirrored)
{
    if (count == 3) return {a.back, a.problem, a.photo};
    const float       left  = std::min({a.back.x, a.problem.x, a.photo.x});
    const float       right = std::max({a.back.right(), a.problem.right(), a.photo.right()});
    const Rect        room{left, a.back.y, right - left, a.back.h};
    std::vector<Rect> boxes;
    for (std::size_t i = 0; i < count; ++i) {
        const auto place = static_cast<int>(mirrored ? count - 1 - i : i);
        boxes.push_back(look::cell(room, {static_cast<int>(count), 1, kGap}, place));
    }
    return boxes;
}

} // namespace

BarTap main_bar(Ui& ui, const MainBar& bar)
{
    BarTap     tap;
    const auto boxes = side_boxes(ui.areas(), bar.side.size(), ui.left_handed());
    for (std::size_t i = 0; i < bar.side.size(); ++i)
        if (button(ui, bar.side[i].id, boxes[i], bar.side[i].look)) tap.side = bar.side[i].id;
    ButtonSpec main;
    main.title   = bar.main.title;
    main.sub     = bar.main.sub;
    main.kind    = ButtonKind::act;
    main.enabled = bar.main.enabled;
    tap.main     = button(ui, "main", ui.areas().main, main).tapped;
    return tap;
}

MainBar usual_bar(const Ui& ui, const MainAction& main, std::optional<PhotoCount> photos)
{
    MainBar    bar;
    ButtonSpec back, problem;
    back.title    = ui.say("bar.back");
    problem.title = ui.say("bar.problem");
    bar.side      = {{"back", back}, {"problem", problem}};
    bar.main      = main;
    if (photos) {
        ButtonSpec photo;
        photo.title  = ui.say("bar.photo");
        photo.symbol = ui.portrait() ? look::Symbol::none : look::Symbol::camera;
        if (photos->needed > 0)
            photo.sub =
                ui.say("bar.photo_count", {std::to_string(photos->taken), std::to_string(photos->needed)});
        bar.side.push_back({"photo", photo});
    }
    return bar;
}

void strip(Ui& ui, const Strip& strip)
{
    look::Canvas&        canvas = ui.canvas();
    const look::Palette& p      = ui.palette();
    const Rect           box    = ui.areas().strip;
    const float          base   = box.y + 7.0F;
    float                right  = box.right();
    right -=
        canvas.text({right, base}, strip.clock, {Role::label_bold, p.ink, Across::right, Upright::baseline});
    if (!strip.clock.empty()) right -= 4.5F;
    const look::TextStyle quiet{Role::label, p.soft, Across::right, Upright::baseline};
    if (!strip.status.empty()) right -= canvas.text({right, base}, strip.status, quiet) + 4.0F;
    constexpr float kNoteBase_mm = 3.1F; // above capitals of 2.6 mm, which the narrow glass has
    if (!ui.note().empty() && ui.portrait() && ui.screen().hand_held())
        canvas.text({box.right(), box.y + kNoteBase_mm}, ui.note(), quiet);
    else if (!ui.note().empty())
        right -= canvas.text({right, base}, ui.note(), quiet) + 4.0F;
    canvas.text_fitted({box.x, base}, strip.title, {Role::label_bold, p.ink, Across::left, Upright::baseline},
                       right - box.x);
}

} // namespace field::kit
