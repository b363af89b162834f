#include "gallery_pages.h"

#include "field/kit/hazard_panel.h"
#include "field/kit/keypad.h"
#include "field/kit/limit_gauge.h"
#include "field/kit/list_row.h"
#include "field/kit/main_bar.h"
#include "field/kit/photo_slot.h"
#include "field/kit/steel_rule.h"
#include "field/kit/value_cell.h"

#include <array>

namespace gallery {
namespace {

using namespace field::kit;
using namespace field::look;

void heading(Ui& ui, const std::string& title, int at)
{
    strip(ui, {title, ui.portrait() ? "" : "3 to send", "10:42"});
    if (at >= 0) steel_rule(ui.canvas(), ui.areas().rule, {13, at, at, {0, 2, 8, 12}});
}

float title(Ui& ui, const Rect& box, const std::string& text, const std::string& words)
{
    Canvas& c = ui.canvas();
    c.text({box.x, box.y + c.cap_mm(Role::title) + 1.5F}, text, {Role::title, c.palette().ink});
    const float top = box.y + c.cap_mm(Role::title) + 1.5F + 3.6F;
    if (words.empty()) return top;
    return top + 0.8F +
           c.text_wrapped({box.x, top + 0.8F, box.w, box.bottom() - top}, words,
                          {Role::instruction, c.palette().soft}) +
           3.0F;
}

void pad_page(Ui& ui, KeypadState state, const std::string& what)
{
    heading(ui, "Lime dryer fan 4 \u00b7 A \u00b7 fixed", 2);
    Canvas& c    = ui.canvas();
    Rect    area = ui.areas().reading;
    if (!ui.portrait()) area.y = title(ui, area, "Measure the seat", "");
    if (!ui.portrait()) area.h = ui.areas().body.bottom() - area.y;
    if (!ui.portrait()) {
        Rect cells = area.cut_bottom(10.0F, 3.0F);
        for (const auto* text : {"I across", "I up", "II across"}) {
            ValueCell cell{text, "49.972", "", "", {}, false, false};
            value_cell(c, cells.cut_left(area.w / 3), cell);
        }
    }
    LimitGauge gauge{49.938, 50.000, "49.938", "50.000", {{49.970, 0, {}}, {49.972, 0, {}}, {49.968, 0, {}}},
                     false,  false};
    if (state.mode() != PadMode::code)
        limit_gauge(c, area.cut_bottom(gauge_height_mm(c, gauge), ui.portrait() ? 1.0F : 4.0F), gauge);
    reading(c, area,
            {what,
             state.text(),
             state.is_length() ? std::string(engine::unit_symbol(state.unit())) : "",
             true,
             state.echo(),
             {},
             false});
    KeypadOffer offer{"M-07", false, ui.portrait()};
    keypad(ui, ui.areas().keypad, state, offer);
    MainBar bar = usual_bar(ui, {"Seat is in size", "one reading to go", false}, PhotoCount{1, 2});
    if (ui.portrait()) bar.side.clear();
    main_bar(ui, bar);
}

void measure(Ui& ui, Texture)
{
    KeypadState state(PadMode::decimal, engine::UnitOf::mm);
    for (const char* key : {"4", "9", ".", "9", "7"})
        state.press(key);
    pad_page(ui, state, "Plane II, up");
}

void fraction(Ui& ui, Texture)
{
    KeypadState state(PadMode::decimal, engine::UnitOf::inch);
    for (const char* key : {"2", "frac"})
        state.press(key);
    pad_page(ui, state, "Shaft");
}

void code(Ui& ui, Texture)
{
    KeypadState state(PadMode::code, engine::UnitOf::text);
    for (const char* key : {"H", "P", "5", "0", "page"})
        state.press(key);
    pad_page(ui, state, "Serial");
}

void today(Ui& ui, Texture)
{
    strip(ui, {"Today \u00b7 badge 112", "3 to send", "10:42"});
    const Rect    body{ui.areas().body.x, 13.0F, ui.areas().body.w, ui.areas().bar.y - 3.0F - 13.0F};
    const ListRow rows[] = {{Symbol::here,
                             {},
                             "Lime dryer fan 4",
                             "A fixed: step 8 of 13, turn the nut \u00b7 left 10:31",
                             "",
                             "Carry on",
                             true,
                             false,
                             false,
                             true},
                            {Symbol::held,
                             {},
                             "Screw conveyor 11",
                             "A: seat undecided, a supervisor has to release it",
                             "",
                             "Open",
                             false,
                             false,
                             false,
                             true},
                            {Symbol::not_done,
                             {},
                             "Bucket elevator 2",
                             "two pillow blocks, 65 mm \u00b7 not started",
                             "",
                             "Open",
                             false,
                             false,
                             false,
                             true},
                            {Symbol::inside,
                             {},
                             "Cooling fan 1",
                             "both bolted down 09:12 \u00b7 next: run-in reading at 11:12",
                             "",
                             "Read",
                             false,
                             false,
                             false,
                             true}};
    const int     count  = ui.screen().h_mm() < 130 ? 3 : 4;
    for (int i = 0; i < count; ++i)
        list_row(ui, "job." + std::to_string(i), cell(body, {1, count, 3.0F}, i), rows[i]);
    MainBar    bar;
    ButtonSpec settings, hand_over;
    settings.title  = "Settings";
    settings.symbol = ui.portrait() ? Symbol::none : Symbol::gear;
    hand_over.title = "Hand over";
    bar.side        = {{"settings", settings}, {"hand_over", hand_over}};
    bar.main        = {"Scan a tag", "opens its job, or a new one", true};
    main_bar(ui, bar);
}

void drawing(Canvas& c, const Rect& box)
{
    const Palette&           p  = c.palette();
    const float              k  = box.w / 105.0F;
    const auto               at = [&](float x, float y) { return Point{box.x + x * k, box.y + y * k}; };
    const std::vector<Point> housing{at(20, 8),  at(76, 8),  at(76, 17), at(69, 20),
                                     at(69, 24), at(26, 24), at(26, 20), at(20, 17)};
    const std::vector<Point> inner{at(30, 46), at(33, 42), at(40, 47), at(48, 44), at(56, 47),
                                   at(62, 42), at(65, 46), at(65, 51), at(30, 49)};
    const std::vector<Point> sleeve{at(24, 48.5F), at(84, 51.4F), at(84, 54), at(24, 54)};
    const std::vector<Point> shaft{at(2, 54), at(98, 54), at(100, 56), at(100, 76), at(2, 76)};
    c.shape(housing, p.part, {p.steel_edge, 0.3F});
    c.hatch(housing, {{p.hatch, 0.17F}, 1.6F, true});
    c.shape(inner, p.steel, {p.steel_edge, 0.3F});
    c.hatch(inner, {{p.hatch, 0.17F}, 1.2F, false});
    c.shape(sleeve, p.bronze, {p.steel_edge, 0.3F});
    c.hatch(sleeve, {{p.hatch, 0.17F}, 1.2F, true});
    c.shape(shaft, p.steel, {p.steel_edge, 0.3F});
    c.hatch(shaft, {{p.hatch.with_alpha(140), 0.17F}, 2.2F, false});
    c.line(at(30, 54), at(65, 54), {p.act, 0.8F});
    c.centre_line(at(0, 69), at(104, 69), p.steel_edge);
    c.arrow(at(86, 52.7F), at(98, 52.7F), {p.act, 1.0F});
    c.circle(at(48, 34), 7 * k, p.panel);
    c.circle_line(at(48, 34), 7 * k, {p.steel_edge, 0.3F});
    c.leader(at(34, 47), at(18, 36), "inner", Across::right);
    c.leader(at(28, 52), at(14, 46), "sleeve", Across::right);
    c.dimension(at(30, 66), at(65, 66), "35");
    c.dimension(at(80, 20), at(84, 20), "1.25");
    c.arc({at(88, 34), 8 * k, 0, 260}, {p.act, 3.0F * k});
    c.arc({at(88, 34), 8 * k, 290, 330}, {p.inside, 3.0F * k});
    c.dashed(at(69, 24), at(69, 40), {p.act, 0.4F});
}

void step(Ui& ui, Texture)
{
    heading(ui, "Lime dryer fan 4 \u00b7 A \u00b7 fixed", 5);
    Canvas&    c     = ui.canvas();
    const auto a     = ui.areas();
    Rect       words = a.right;
    if (ui.portrait()) {
        const float y = title(ui, a.left, "Pry the nut out to zero", "Blade between housing face and nut.");
        drawing(c, {a.left.x + 14, y - 6.0F, a.left.w * 0.72F, a.left.h});
        words = {a.right.x, a.right.y + 2, a.right.w, a.right.h - 2};
    } else {
        drawing(c, a.left);
        words.y =
            title(ui, words, "Pry the nut out to zero",
                  "Blade between housing face and nut. Pull the sleeve through, run the nut up, snug it.");
        words.h = a.right.bottom() - words.y;
    }
    const std::array<std::string, 2> answers{"It grips", "It slips"};
    const Rect                       grid = words.cut_bottom(kTarget, 0);
    choices(ui, "grip", grid, {answers, 0, 0});
    if (a.body.h < 80 && !ui.portrait()) {
        main_bar(ui, usual_bar(ui, {"Nut snug at zero", "next: mark it", true}, PhotoCount{0, 0}));
        return;
    }
    hazard_panel(ui, words, {Signal::caution, "Eye protection on."});
    if (!ui.portrait())
        c.text({words.x, grid.y - 3.0F}, "Does the sleeve grip the shaft?", {Role::label, c.palette().soft});
    main_bar(ui, usual_bar(ui, {"Nut snug at zero", "next: mark it", true}, PhotoCount{1, 2}));
}

void gauges(Canvas& c, Rect box)
{
    using engine::Verdict;
    const std::array<GaugeTick, 5> ticks{{{49.96, 0.004, Verdict::inside},
                                          {49.938, 0.004, Verdict::undecided},
                                          {50.03, 0.004, Verdict::outside},
                                          {0.3, 0.05, Verdict::inside},
                                          {262, 0, {}}}};
    for (int i = 0; i < 5; ++i) {
        LimitGauge g{49.938, 50.000, "49.938", "50.000", {ticks[static_cast<std::size_t>(i)]}, false, true};
        if (i == 3) g.low.reset(), g.low_text = "", g.high = 0.5, g.high_text = "at most 0.5";
        if (i == 4) g.low = 290, g.high = 310, g.low_text = "290\u00b0", g.high_text = "310\u00b0";
        limit_gauge(c, box.cut_top(gauge_height_mm(c, g), 2.0F), g);
    }
}

void parts(Ui& ui, Texture photo)
{
    heading(ui, "Every part", 7);
    Canvas&     c     = ui.canvas();
    const auto& p     = c.palette();
    Rect        left  = ui.areas().left;
    Rect        right = ui.areas().right;
    gauges(c, ui.portrait() ? left : right);
    if (!ui.portrait()) {
        Rect  symbols = left.cut_top(12.0F, 2.0F);
        float x       = symbols.x + 4;
        for (int s = 1; s <= static_cast<int>(Symbol::arrow_down); ++s, x += 7.6F)
            draw_symbol(c, static_cast<Symbol>(s), {x, symbols.centre().y}, 5.6F);
        c.text({left.x, left.y + 12}, "262\u00b0", {Role::reading, p.act});
        c.text({left.right(), left.y + 12}, "38\u00b0 to go", {Role::value, p.ink, Across::right});
        c.text({left.x + 48, left.y + 12}, "99.5", {Role::second, p.ink});
        left.cut_top(17.0F);
        left.cut_top(labelled_value(c, left, {"Drawn up", "1.09", "of 1.25 mm", 0.87F, false}), 4.0F);
        Rect cells = left.cut_top(18.0F, 2.0F);
        value_cell(c, cell(cells, {3, 1, 3.0F}, 0), {"point 1", "1.25", "", "", {}, false, true});
        value_cell(c, cell(cells, {3, 1, 3.0F}, 1),
                   {"point 2", "1.20", "", "1.25", engine::Verdict::outside, false, true});
        value_cell(c, cell(cells, {3, 1, 3.0F}, 2), {"point 3", "", "read", "", {}, true, true});
        if (left.h < kTarget)
            left = {};
        else
            photo_slot(ui, "photo.1", cell(left, {2, 1, 3.0F}, 0), {photo, "nut and mark", true, false});
        if (left.h >= kTarget)
            photo_slot(ui, "photo.2", cell(left, {2, 1, 3.0F}, 1), {{}, "tab in slot", true, false});
    } else {
        Rect slots = right.cut_bottom(kTarget, 3.0F);
        steppers(ui, "nudge", slots);
        value_cell(c, {right.x, right.y, 30, 13},
                   {"point 2", "1.20", "", "1.25", engine::Verdict::outside, false, false});
    }
    main_bar(ui, usual_bar(ui, {"It stands at 300\u00b0", "next: lock the tab", true}, PhotoCount{1, 2}));
}

void hazards(Ui& ui, Texture)
{
    heading(ui, "Hazards", 0);
    Rect                             box = ui.areas().body;
    const std::array<HazardPanel, 4> panels{
        {{Signal::danger, "Lock out and try the start button. Follow the site's lockout procedure."},
         {Signal::warning, "Keep hands out from under the housing while it hangs."},
         {Signal::caution, "Eye protection on."},
         {Signal::notice, "Keep the bearing in its paper until the seat is clean."}}};
    const float gap = ui.portrait() || box.h > 80 ? 3.0F : 1.5F;
    for (const HazardPanel& panel : panels)
        box.cut_top(hazard_panel(ui, box, panel), gap);
    const Rect nudge = box.cut_bottom(kTarget, 3.0F);
    steppers(ui, "nudge", {nudge.x, nudge.y, std::min(nudge.w, 100.0F), nudge.h});
    main_bar(ui, usual_bar(ui, {"Locked out and tried", "next: measure the seat", true}, {}));
}

} // namespace

const std::vector<Page>& pages()
{
    static const std::vector<Page> all{{"measure", measure}, {"fraction", fraction}, {"code", code},
                                       {"today", today},     {"step", step},         {"parts", parts},
                                       {"hazards", hazards}};
    return all;
}

field::shell::Image test_picture()
{
    field::shell::Image image{160, 120, {}};
    for (int y = 0; y < image.h; ++y)
        for (int x = 0; x < image.w; ++x) {
            const bool ring = (x - 80) * (x - 80) + (y - 60) * (y - 60) < 1800;
            const auto grey = static_cast<std::uint8_t>(ring ? 200 - x / 3 : 70 + y / 2);
            for (const std::uint8_t channel :
                 {grey, grey, static_cast<std::uint8_t>(grey + 8), std::uint8_t{255}})
                image.rgba.push_back(channel);
        }
    return image;
}

} // namespace gallery
