#include "field/screens/fitter/turn.h"

#include "field/drawing/nut_geometry.h"
#include "field/drawing/paint.h"
#include "field/kit/button.h"
#include "field/kit/limit_gauge.h"
#include "field/kit/value_cell.h"
#include "field/screens/pictures.h"
#include "field/screens/step_parts.h"

#include <algorithm>
#include <cmath>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr float  kClearance_mm  = 17.0F; ///< the clearance left with its gauge
constexpr float  kTravel_mm     = 12.0F; ///< the sleeve's travel with its bar
constexpr float  kFigureLine_mm = 7.0F;  ///< a figure on one line
constexpr double kTangPlay_deg  = 1.0;   ///< a tang finds its slot this far off (common practice)
constexpr double kRoomAbove_deg = 720;   ///< the dial ends two turns past the most of the sheet

bool locking(const StepView& view)
{
    return view.screen == "lock";
}

void set_dial_words(TurnView& view, const ViewContext& context, const engine::UnitSheet& unit,
                    const StepInHand& state)
{
    const look::Words& words = *context.words;
    view.angle               = engine::fixed(state.dial_deg, 0) + "°";
    const double to_go       = unit.turn_min.value - state.dial_deg;
    if (locking(view.step)) {
        const auto tang = drawing::next_tang(unit.slots, unit.tangs, engine::Degrees{state.dial_deg});
        view.to_go      = std::min(tang.gap.value, drawing::tang_step(unit.slots, unit.tangs).value -
                                                       tang.gap.value) <= kTangPlay_deg
                              ? words.say("turn.tang_over_slot")
                              : words.say("turn.to_slot", {engine::fixed(tang.gap.value, 0)});
    } else if (to_go > 0) {
        view.to_go = words.say("turn.to_go", {engine::fixed(to_go, 0)});
    } else if (state.dial_deg <= unit.turn_max.value) {
        view.to_go = words.say("turn.in_band");
    } else {
        view.to_go = words.say("turn.over", {engine::fixed(state.dial_deg - unit.turn_max.value, 0)});
    }
}

void set_live_figures(TurnView& view, const ViewContext& context, const engine::JobState& job,
                      const StepInHand& state)
{
    const engine::UnitSheet& unit = *job.plan.unit(state.at.pos);
    const double travel_mm        = (engine::to_turns(engine::Degrees{state.dial_deg}) * unit.pitch).value;
    const double least_mm         = (engine::to_turns(unit.turn_min) * unit.pitch).value;
    view.drawn_label              = context.words->say("figure.travel");
    const double most_mm          = (engine::to_turns(unit.turn_max) * unit.pitch).value;
    view.drawn_up                 = context.words->say(
                        "turn.of", {engine::fixed(travel_mm, 2), engine::fixed(least_mm, 2), engine::fixed(most_mm, 2)});
    view.drawn_share = least_mm > 0 ? std::clamp(travel_mm / least_mm, 0.0, 1.0) : 0.0;
    const auto live =
        engine::assess_turn(job.plan, job.progress.facts(), state.at.pos, engine::Degrees{state.dial_deg});
    for (const engine::Figure& figure : live.figures) {
        if (figure.key != "clearance_left" && figure.key != "clearance_taken") continue;
        FigureView shown{
            context.words->say("figure." + figure.key), quantity_text(figure.si, figure.unit), {}};
        if (figure.u_si > 0)
            shown.value =
                context.words->say("turn.range", {number_text(figure.si - figure.u_si, figure.unit),
                                                  quantity_text(figure.si + figure.u_si, figure.unit)});
        std::optional<engine::Limits> limits = figure.limits;
        if (figure.key == "clearance_left" && unit.clearance_after)
            limits = engine::Limits{engine::to_si(unit.clearance_after->low.value, engine::UnitOf::mm),
                                    engine::to_si(unit.clearance_after->high.value, engine::UnitOf::mm), ""};
        if (limits && limits->low) shown.gauge.low = engine::from_si(*limits->low, figure.unit);
        if (limits && limits->high) shown.gauge.high = engine::from_si(*limits->high, figure.unit);
        shown.gauge.verdict = engine::verdict_of_reading(figure.si, figure.u_si, limits);
        shown.gauge.value   = engine::from_si(figure.si, figure.unit);
        shown.gauge.u       = engine::from_si(figure.u_si, figure.unit);
        (figure.key == "clearance_taken" ? view.taken : view.clearance) = shown;
    }
}

/// The main action says where the nut stands; everything else the step asks for comes first.
void set_main(TurnView& view, const ViewContext& context, const engine::StepStatus& status,
              const StepInHand& state)
{
    StepView&   step          = view.step;
    const auto& words         = *context.words;
    const bool  tab           = locking(step);
    std::size_t other         = 0;
    bool        angle_missing = false;
    for (const auto& [ask, slot] : status.missing) {
        const bool is_angle = ask == (tab ? "extra" : "turn");
        angle_missing       = angle_missing || is_angle;
        if (!is_angle) ++other;
    }
    if (status.state != engine::StepState::open || (!angle_missing && !state.dial_moved))
        return; // as any step
    step.main_title = words.say(tab ? "turn.locked_at" : "turn.stands_at", {view.angle});
    step.main_on    = tab || state.dial_moved;
    view.records    = true;
    if (!step.main_on)
        step.main_sub = words.say("turn.move_dial");
    else if (other == 0)
        step.main_sub = words.say("turn.then_next");
    else
        step.main_sub = words.say("turn.then_more");
}

/// The dial: the finger takes the knob and the nut follows, never below what is recorded.
void draw_dial(kit::Ui& ui, const Rect& area, StepInHand& state, TurnView& view)
{
    const auto box   = drawing::box_of(area);
    const auto place = drawing::nut_place(box, drawing::metrics_of(ui.canvas()));
    const auto half  = static_cast<float>(place.knob_radius_mm + 11.0);
    Rect dial{static_cast<float>(place.centre.x) - half, static_cast<float>(place.centre.y) - half, 2 * half,
              2 * half};
    dial.h = std::min(dial.bottom(), area.bottom() - kit::kGap) - dial.y; // clear of the keys below
    if (const auto touch = ui.drag("dial", dial)) {
        const auto at = drawing::touch_angle(place.centre,
                                             {static_cast<double>(touch->x), static_cast<double>(touch->y)});
        const auto moved =
            drawing::follow_touch(engine::Degrees{state.dial_deg}, at, engine::Degrees{view.from_deg});
        state.dial_deg   = std::clamp(std::round(moved.value), view.from_deg, view.most_deg);
        state.dial_moved = true;
    }
    view.nut.turned    = engine::Degrees{state.dial_deg};
    view.nut.tell_laps = !ui.portrait(); // there the reading takes that corner
    if (locking(view.step))
        drawing::draw(ui.canvas(), area, drawing::TabPicture{.nut = view.nut});
    else
        drawing::draw(ui.canvas(), area, view.nut);
}

void draw_nudges(kit::Ui& ui, const Rect& row, StepInHand& state, const TurnView& view)
{
    const int by = kit::steppers(ui, "nudge", row);
    if (by == 0) return;
    state.dial_deg   = std::clamp(state.dial_deg + by, view.from_deg, view.most_deg);
    state.dial_moved = true;
}

void draw_clearance(kit::Ui& ui, const Rect& box, const FigureView& figure)
{
    (void)figure_of_step(ui, box, figure);
}

/// Angle and what is to go, on one base line at the bottom of the box.
void draw_reading(kit::Ui& ui, const Rect& box, const TurnView& view)
{
    ui.canvas().text({box.x, box.bottom()}, view.angle, {Role::reading, ui.palette().act});
    ui.canvas().text({box.right(), box.bottom()}, view.to_go,
                     {Role::value, ui.palette().ink, look::Across::right});
}

StepAsk draw_tab_choice(kit::Ui& ui, const Rect& box, const StepView& view)
{
    StepAsk ask;
    for (const CellView& cell : view.cells) {
        if (cell.kind != engine::AskKind::choice) continue;
        for (std::size_t i = 0; i < cell.options.size(); ++i) {
            const OptionView& option = cell.options[i];
            const auto        kind   = option.chosen ? kit::ButtonKind::chosen : kit::ButtonKind::quiet;
            if (kit::button(ui, "choice." + cell.ask + "." + option.value,
                            look::cell(box, {static_cast<int>(cell.options.size()), 1, kit::kGap},
                                       static_cast<int>(i)),
                            {.title = option.words, .kind = kind, .role = Role::label}))
                ask = {.kind = StepAsk::Kind::choice, .ask = cell.ask, .slot = "", .value = option.value};
        }
    }
    return ask;
}

/// Readings the sheet wants besides the angle: sleeve travel, nut torque.
StepAsk draw_other_cells(kit::Ui& ui, const Rect& box, const StepView& view)
{
    std::vector<const CellView*> others;
    for (const CellView& cell : view.cells)
        if (cell.kind == engine::AskKind::reading && cell.ask != "turn" && cell.ask != "extra")
            others.push_back(&cell);
    StepAsk ask;
    for (std::size_t i = 0; i < others.size(); ++i) {
        const Rect at = look::cell(box, {static_cast<int>(others.size()), 1, kit::kGap}, static_cast<int>(i));
        if (ui.hit(others[i]->id, at, {.says = others[i]->label}))
            ask = {.kind = StepAsk::Kind::open_cell, .ask = others[i]->ask, .slot = others[i]->slot};
        kit::value_cell(ui.canvas(), at,
                        {.label   = others[i]->label,
                         .value   = others[i]->given ? others[i]->value + " " + others[i]->unit : "",
                         .prompt  = others[i]->unit,
                         .verdict = shown_verdict(others[i]->verdict, others[i]->given)});
    }
    return ask;
}

bool has_others(const StepView& view)
{
    return std::any_of(view.cells.begin(), view.cells.end(), [](const CellView& cell) {
        return cell.kind == engine::AskKind::reading && cell.ask != "turn" && cell.ask != "extra";
    });
}

} // namespace

TurnView view_of_turn(const ViewContext& context, const engine::JobState& job, const StepInHand& state)
{
    TurnView view;
    view.step                         = view_of(context, job, state);
    const engine::UnitSheet& unit     = *job.plan.unit(state.at.pos);
    const auto*              position = job.progress.position(state.at.pos);
    view.from_deg     = position != nullptr && position->turned ? position->turned->value : 0.0;
    view.most_deg     = unit.turn_max.value + kRoomAbove_deg;
    view.nut          = nut_of(unit);
    view.nut.turned   = engine::Degrees{state.dial_deg};
    view.nut.recorded = engine::Degrees{view.from_deg};
    const auto* tab   = job.progress.step(state.at)->facts.choice("tab");
    view.nut.locked   = tab != nullptr && tab->goes_on;
    set_dial_words(view, context, unit, state);
    set_live_figures(view, context, job, state);
    set_main(view, context, *job.progress.step(state.at), state);
    return view;
}

namespace {

/// Reading, what is to go and the clearance left on one side, the tab on the other: upright there is no room
/// for one above the other.
void draw_tab_upright(kit::Ui& ui, const Rect& rest, StepInHand& state, TurnView& view)
{
    Rect       tab  = rest;
    Rect       side = tab.cut_left(rest.w * 0.42F, 3.0F);
    const auto cap  = ui.canvas().cap_mm(Role::reading);
    ui.canvas().text({side.x, side.y + cap}, view.angle, {Role::reading, ui.palette().act});
    side.cut_top(cap + 3.0F);
    side.cut_top(
        ui.canvas().text_wrapped(
            side, view.to_go, {Role::instruction, ui.palette().ink, look::Across::left, look::Upright::top}) +
        2.0F);
    if (const auto& shown = view.clearance ? view.clearance : view.taken)
        (void)ui.canvas().text_wrapped(
            side, shown->label + " " + shown->value,
            {Role::label, ui.palette().soft, look::Across::left, look::Upright::top});
    draw_dial(ui, tab, state, view);
}

/// The dial with the reading in its lower corners.
void draw_dial_upright(kit::Ui& ui, const Rect& rest, StepInHand& state, TurnView& view)
{
    Rect dial = rest;
    if (const auto& shown = view.clearance ? view.clearance : view.taken)
        (void)kit::labelled_value(ui.canvas(), dial.cut_bottom(6.0F, 2.5F),
                                  {.label = shown->label, .value = shown->value});
    draw_dial(ui, dial, state, view);
    draw_reading(ui, dial, view);
}

/// Beside the dial: the reading, how far the sleeve is drawn up, the clearance left.
void draw_figures_beside(kit::Ui& ui, Rect rest, const TurnView& view)
{
    rest.cut_top(1.0F);
    draw_reading(ui, rest.cut_top(ui.canvas().cap_mm(Role::reading), 3.0F), view);
    if (rest.h >= kTravel_mm + (view.clearance ? kClearance_mm : kFigureLine_mm))
        rest.cut_top(kit::labelled_value(ui.canvas(), rest,
                                         {.label = view.drawn_label,
                                          .value = view.drawn_up,
                                          .share = static_cast<float>(view.drawn_share)}) +
                     2.0F);
    if (view.taken && rest.h >= (view.clearance ? kClearance_mm + kFigureLine_mm : kFigureLine_mm))
        rest.cut_top(
            kit::labelled_value(ui.canvas(), rest, {.label = view.taken->label, .value = view.taken->value}) +
            1.5F);
    if (!view.clearance) return;
    if (rest.h >= kClearance_mm)
        draw_clearance(ui, rest, *view.clearance);
    else if (rest.h >= kFigureLine_mm)
        (void)kit::labelled_value(ui.canvas(), rest,
                                  {.label = view.clearance->label, .value = view.clearance->value});
}

} // namespace

StepAsk draw_turn(kit::Ui& ui, StepInHand& state, const TurnView& shown)
{
    TurnView view = shown;
    StepAsk  ask  = ask_of_bar(frame_of_step(ui, view.step), view.step);
    if (ask.kind == StepAsk::Kind::close && view.records) ask.kind = StepAsk::Kind::record_turn;
    // A refusal takes the place of the instruction, which was read already; the hazard panel stays.
    const bool refused = !state.refusal.empty();
    if (refused || (ui.portrait() && view.step.caution)) view.step.instruction.clear();
    Rect dial  = ui.areas().left;
    Rect words = ui.portrait() ? ui.areas().body : ui.areas().right;
    if (state.dial_moved) view.step.instruction.clear(); // read already: the figures take its place
    if (!ui.portrait()) { // above the dial, where the hands go; the figures need the room beside it
        dial.cut_top(hazard_of_step(ui, dial, view.step));
        view.step.caution.reset();
    }
    words.cut_top(words_of_step(ui, words, view.step));
    if (refused) words.cut_top(trouble_of_step(ui, words, state, view.step));

    StepAsk more;
    if (locking(view.step)) more = draw_tab_choice(ui, words.cut_bottom(kit::kTarget, kit::kGap), view.step);
    if (view.records || !has_others(view.step))
        draw_nudges(ui, words.cut_bottom(kit::kTarget, 2.0F), state, view);
    else
        more = draw_other_cells(ui, words.cut_bottom(kit::kTarget, 2.0F), view.step);
    if (more.kind != StepAsk::Kind::nothing) ask = more;

    if (!ui.portrait()) {
        draw_dial(ui, dial, state, view);
        draw_figures_beside(ui, words, view);
    } else if (locking(view.step)) {
        draw_tab_upright(ui, words, state, view);
    } else {
        draw_dial_upright(ui, words, state, view);
    }
    return ask;
}

} // namespace field::screens
