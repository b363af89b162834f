#include "field/screens/fitter/keypad_pane.h"

#include "field/kit/keypad.h"
#include "field/kit/limit_gauge.h"
#include "field/kit/value_cell.h"
#include "field/screens/step_parts.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

/// Readings of this step already taken, as small pairs along the bottom.
void draw_taken(kit::Ui& ui, const Rect& box, const StepView& view)
{
    std::vector<const CellView*> taken;
    for (const CellView& cell : view.cells)
        if (cell.given && cell.kind == engine::AskKind::reading) taken.push_back(&cell);
    constexpr std::size_t kMost = 3;
    if (taken.size() > kMost) taken.erase(taken.begin(), taken.end() - kMost);
    for (std::size_t i = 0; i < taken.size(); ++i)
        kit::value_cell(ui.canvas(), look::cell(box, {static_cast<int>(kMost), 1, 2.0F}, static_cast<int>(i)),
                        {.label   = taken[i]->label,
                         .value   = taken[i]->value,
                         .verdict = shown_verdict(taken[i]->verdict, true),
                         .framed  = false});
}

void draw_gauge(kit::Ui& ui, Rect& box, const StepView& view)
{
    if (!view.typing_gauge) return;
    const GaugeView& shown = *view.typing_gauge;
    kit::LimitGauge  gauge{.low = shown.low, .high = shown.high};
    if (gauge.low) gauge.low_text = engine::fixed(*gauge.low, shown.decimals);
    if (gauge.high) gauge.high_text = engine::fixed(*gauge.high, shown.decimals);
    for (const CellView& cell : view.cells) { // the others of the same kind, to see them side by side
        if (!cell.given || cell.unit != shown.unit || cell.kind != engine::AskKind::reading) continue;
        if (const auto value = engine::parse_number(cell.value))
            gauge.ticks.push_back({*value, 0, cell.verdict});
    }
    if (shown.value) gauge.ticks.push_back({*shown.value, 0, std::nullopt});
    const float height = kit::gauge_height_mm(ui.canvas(), gauge);
    kit::limit_gauge(ui.canvas(), box.cut_top(height, 2.0F), gauge);
}

void draw_reading_side(kit::Ui& ui, const StepInHand& state, const StepView& view, const StepPicture& picture)
{
    look::Canvas& canvas = ui.canvas();
    Rect          box    = ui.areas().reading;
    if (ui.portrait()) { // no drawing: reading, echo and gauge only
        canvas.text_fitted({box.x, box.y + canvas.cap_mm(Role::instruction_bold)}, view.title,
                           {Role::instruction_bold, ui.palette().ink}, box.w);
        box.cut_top(canvas.cap_mm(Role::instruction_bold) + 2.0F);
    } else {
        box.cut_top(
            canvas.text_wrapped(box, view.title,
                                {Role::title, ui.palette().ink, look::Across::left, look::Upright::top}) +
            2.0F);
        if (!ui.portrait()) {
            const Rect taken = box.cut_bottom(14.0F, 1.0F);
            draw_taken(ui, taken, view);
        }
    }
    const float below   = 22.0F + (view.typing_gauge ? 12.0F : 0.0F);
    const float drawing = box.h - below - (ui.portrait() ? box.h : 3.0F);
    if (drawing > 18.0F && state.refusal.empty()) picture(canvas, box.cut_top(drawing, 3.0F));
    const float trouble = trouble_of_step(ui, box, state, view);
    box.cut_top(trouble);
    const auto text = state.keypad.text();
    kit::reading(
        canvas, box.cut_top(std::min(ui.portrait() ? 16.5F : 19.0F, box.h), ui.portrait() ? 1.5F : 2.5F),
        {.label  = view.typing_label,
         .text   = text,
         .unit   = view.typing_units.empty() ? "" : std::string(engine::unit_symbol(state.keypad.unit())),
         .cursor = true,
         .echo   = state.keypad.echo()});
    draw_gauge(ui, box, view);
}

} // namespace

StepAsk draw_keypad_pane(kit::Ui& ui, StepInHand& state, const StepView& view, const StepPicture& picture)
{
    StepView framed = view;
    framed.main_on  = false; // the keypad's Enter is the action while it is open
    StepAsk ask;
    if (ui.portrait()) { // the main action cannot act while something is typed: its place leads out
        kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
        Rect       out  = ui.areas().main;
        const Rect back = out.cut_left(out.w * 0.5F - kit::kGap / 2, kit::kGap);
        if (kit::button(ui, "back", back, {.title = ui.say("bar.back")})) ask.kind = StepAsk::Kind::back;
        if (kit::button(ui, "problem", out, {.title = ui.say("bar.problem")}))
            ask.kind = StepAsk::Kind::problem;
    } else {
        ask = ask_of_bar(frame_of_step(ui, framed), framed);
    }
    draw_reading_side(ui, state, view, picture);
    const bool celsius_or_offset =
        state.keypad.unit() == engine::UnitOf::celsius || state.typing->first.starts_with("offset");
    const auto tap = kit::keypad(ui, ui.areas().keypad, state.keypad,
                                 {.instrument = view.typing_tool, .signs = celsius_or_offset});
    if (tap.changed) state.refusal.clear();
    if (tap.instrument) ask.kind = StepAsk::Kind::next_tool;
    if (!tap.entered) return ask;
    const bool code = state.keypad.mode() == kit::PadMode::code;
    return {.kind  = code ? StepAsk::Kind::code : StepAsk::Kind::reading,
            .ask   = state.typing->first,
            .slot  = state.typing->second,
            .value = state.keypad.text(),
            .unit  = state.keypad.unit()};
}

} // namespace field::screens
