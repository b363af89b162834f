#include "field/screens/step_parts.h"

#include "field/kit/hazard_panel.h"
#include "field/kit/limit_gauge.h"
#include "field/kit/steel_rule.h"
#include "field/kit/value_cell.h"
#include "field/look/symbols.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

kit::Signal signal_of(const std::string& level)
{
    if (level == "DANGER") return kit::Signal::danger;
    if (level == "WARNING") return kit::Signal::warning;
    if (level == "NOTICE") return kit::Signal::notice;
    return kit::Signal::caution;
}

} // namespace

kit::BarTap frame_of_step(kit::Ui& ui, const StepView& view)
{
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    kit::steel_rule(ui.canvas(), ui.areas().rule,
                    {view.rule.steps, view.rule.done, view.rule.here, view.rule.holds});
    std::optional<kit::PhotoCount> photos;
    if (view.photos_wanted > 0) photos = kit::PhotoCount{view.photos, view.photos_wanted};
    return kit::main_bar(ui, kit::usual_bar(ui, {view.main_title, view.main_sub, view.main_on}, photos));
}

float hazard_of_step(kit::Ui& ui, const Rect& box, const StepView& view)
{
    if (!view.caution) return 0;
    return kit::hazard_panel(ui, box, {signal_of(view.caution->first), view.caution->second}) + 2.0F;
}

float words_of_step(kit::Ui& ui, const Rect& box, const StepView& view)
{
    look::Canvas& canvas = ui.canvas();
    Rect          rest   = box;
    rest.cut_top(
        canvas.text_wrapped(rest, view.title,
                            {Role::title, ui.palette().ink, look::Across::left, look::Upright::top}) +
        4.0F);
    if (!view.instruction.empty())
        rest.cut_top(canvas.text_wrapped(
                         rest, view.instruction,
                         {Role::instruction, ui.palette().soft, look::Across::left, look::Upright::top}) +
                     4.0F);
    rest.cut_top(hazard_of_step(ui, rest, view));
    return rest.y - box.y;
}

float words_height_mm(kit::Ui& ui, float width_mm, const StepView& view)
{
    const look::Canvas& canvas = ui.canvas();
    float               height = canvas.wrapped_height_mm(width_mm, view.title, Role::title) + 4.0F;
    if (!view.instruction.empty())
        height += canvas.wrapped_height_mm(width_mm, view.instruction, Role::instruction) + 4.0F;
    if (view.caution)
        height +=
            kit::hazard_height_mm(ui, width_mm, {signal_of(view.caution->first), view.caution->second}) +
            2.0F;
    return height;
}

void make_room(kit::Ui& ui, StepRoom& room, float needed_mm, StepView& view)
{
    const auto fits = [&] { return words_height_mm(ui, room.words.w, view) + needed_mm <= room.words.h; };
    if (fits()) return;
    if (room.drawing != nullptr) {
        room.drawing->cut_top(hazard_of_step(ui, *room.drawing, view));
        view.caution.reset();
        if (fits()) return;
    }
    view.instruction.clear();
}

namespace {

constexpr float kTroubleSymbol_mm = 6.0F;
constexpr float kTroubleIndent_mm = kTroubleSymbol_mm + 2.5F;

std::string_view trouble_words(const StepInHand& state, const StepView& view)
{
    if (!state.refusal.empty()) return state.refusal;
    if (view.state == engine::StepState::held) return view.held_because;
    return {};
}

} // namespace

float trouble_height_mm(kit::Ui& ui, float width_mm, const StepInHand& state, const StepView& view)
{
    const auto text = trouble_words(state, view);
    if (text.empty()) return 0;
    const float used = ui.canvas().wrapped_height_mm(width_mm - kTroubleIndent_mm, text, Role::label);
    return std::max(used, kTroubleSymbol_mm) + 2.0F;
}

float trouble_of_step(kit::Ui& ui, const Rect& box, const StepInHand& state, const StepView& view)
{
    const auto text = trouble_words(state, view);
    if (text.empty()) return 0;
    look::Canvas& canvas = ui.canvas();
    Rect          words{box.x + kTroubleIndent_mm, box.y, box.w - kTroubleIndent_mm, box.h};
    const auto    colour = state.refusal.empty() ? ui.palette().ink : ui.palette().outside;
    look::draw_symbol(canvas, state.refusal.empty() ? look::Symbol::held : look::Symbol::outside,
                      {box.x + kTroubleSymbol_mm / 2, box.y + kTroubleSymbol_mm / 2}, kTroubleSymbol_mm);
    const float used =
        canvas.text_wrapped(words, text, {Role::label, colour, look::Across::left, look::Upright::top});
    return std::max(used, kTroubleSymbol_mm) + 2.0F;
}

StepAsk ask_of_bar(const kit::BarTap& tap, const StepView& view)
{
    StepAsk ask;
    if (tap.is("back")) ask.kind = StepAsk::Kind::back;
    if (tap.is("problem")) ask.kind = StepAsk::Kind::problem;
    if (tap.is("photo")) ask.kind = StepAsk::Kind::camera, ask.ask = view.photo_ask;
    if (tap.main)
        ask.kind = view.state == engine::StepState::held ? StepAsk::Kind::release : StepAsk::Kind::close;
    return ask;
}

float figure_of_step(kit::Ui& ui, const Rect& box, const FigureView& figure)
{
    Rect rest = box;
    rest.cut_top(kit::labelled_value(ui.canvas(), rest, {.label = figure.label, .value = figure.value}) +
                 1.0F);
    if (!figure.gauge.low && !figure.gauge.high) return rest.y - box.y;
    kit::LimitGauge gauge{.low = figure.gauge.low, .high = figure.gauge.high};
    if (gauge.low) gauge.low_text = engine::fixed(*gauge.low, figure.gauge.decimals);
    if (gauge.high) gauge.high_text = engine::fixed(*gauge.high, figure.gauge.decimals);
    if (figure.gauge.value)
        gauge.ticks.push_back({*figure.gauge.value, figure.gauge.u, figure.gauge.verdict});
    const float height = kit::gauge_height_mm(ui.canvas(), gauge);
    kit::limit_gauge(ui.canvas(), {rest.x, rest.y, rest.w, height}, gauge);
    return rest.y + height - box.y + 1.5F;
}

std::optional<engine::Verdict> shown_verdict(engine::Verdict verdict, bool given)
{
    return given && verdict != engine::Verdict::inside ? std::optional(verdict) : std::nullopt;
}

} // namespace field::screens
