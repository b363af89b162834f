#include "field/app/app.h"

#include <algorithm>

namespace field::app {

using screens::StepAsk;

bool App::carry_out(const engine::Act& act, std::string& refusal)
{
    refusal.clear();
    const auto kept = wiring_.bench->carry_out(job_number_, wiring_.settings.badge, act);
    if (kept) {
        sender_.news_to_send();
        return true;
    }
    refusal = kept.error().message;
    return false;
}

void App::prepare_step(const engine::StepRef& at)
{
    memory_.step       = {};
    memory_.step.at    = at;
    const auto in_hand = job();
    if (in_hand == nullptr) return;
    if (const auto* position = in_hand->progress.position(at.pos); position != nullptr && position->turned)
        memory_.step.dial_deg = position->turned->value;
}

void App::open_step(const engine::StepRef& at)
{
    prepare_step(at);
    way_.lead({Place::sheet, Place::step});
}

void App::draw_step_place(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr || in_hand->plan.find(memory_.step.at) == nullptr) return way_.home();
    const screens::ViewContext context = this->context();
    const std::string&         screen  = in_hand->plan.find(memory_.step.at)->step.screen;
    const bool closed = in_hand->progress.step(memory_.step.at)->state != engine::StepState::open;
    if (!memory_.step.typing && !closed && (screen == "turn" || screen == "lock"))
        return act_on_step(draw_turn(ui, memory_.step, view_of_turn(context, *in_hand, memory_.step)));
    if (!memory_.step.typing && !closed && screen == "bolts")
        return act_on_step(draw_bolts(ui, memory_.step, view_of_bolts(context, *in_hand, memory_.step)));
    const screens::StepView view = view_of(context, *in_hand, memory_.step);
    act_on_step(draw_step(ui, memory_.step, view, picture_of(context, *in_hand, memory_.step, view)));
}

void App::act_on_step(const StepAsk& ask)
{
    screens::StepInHand& state = memory_.step;
    switch (ask.kind) {
    case StepAsk::Kind::nothing:
        return;
    case StepAsk::Kind::back:
        if (state.typing)
            state.typing.reset();
        else
            way_.back();
        return;
    case StepAsk::Kind::problem:
        memory_.problem = {.at = state.at};
        return way_.go(Place::problem);
    case StepAsk::Kind::camera:
        return open_camera(ask.ask, false);
    case StepAsk::Kind::close:
        return close_step();
    case StepAsk::Kind::open_cell:
    case StepAsk::Kind::next_tool:
        return open_cell(ask);
    case StepAsk::Kind::reading:
        return take_reading(ask);
    case StepAsk::Kind::choice:
        (void)carry_out(engine::Choose{state.at, ask.ask, ask.value}, state.refusal);
        return;
    case StepAsk::Kind::code:
        if (carry_out(engine::GiveCode{state.at, ask.ask, ask.value,
                                       state.keypad.source() == kit::Source::device ? "scan" : "typed"},
                      state.refusal))
            open_next_reading();
        return;
    case StepAsk::Kind::release:
        return open_release();
    case StepAsk::Kind::record_turn:
        return record_turn();
    case StepAsk::Kind::bolt_clicked:
        return click_bolt(ask);
    }
}

void App::open_cell(const StepAsk& ask)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return;
    memory_.step.refusal.clear();
    if (ask.kind == StepAsk::Kind::next_tool)
        screens::pick_next_tool(memory_.step, context(), in_hand->plan);
    else
        screens::open_keypad(memory_.step, context(), in_hand->plan, {ask.ask, ask.slot});
}

void App::take_reading(const StepAsk& ask)
{
    screens::StepInHand& state   = memory_.step;
    const auto           entered = engine::enter(ask.value, ask.unit);
    if (!entered) {
        state.refusal = entered.error().message;
        return;
    }
    const auto in_hand = job();
    if (in_hand == nullptr) return;
    // For bolts it is the wrench's setting; each click then records it for its bolt.
    if (in_hand->plan.find(state.at)->step.screen == "bolts") {
        state.wrench      = ask.value;
        state.wrench_unit = ask.unit;
        return state.typing.reset();
    }
    engine::TakeReading act{state.at,
                            ask.ask,
                            ask.slot,
                            *entered,
                            state.tool,
                            {},
                            state.keypad.source() == kit::Source::device ? "gauge" : "typed"};
    if (const auto* part = in_hand->progress.step(state.at)->facts.reading("part_temperature"))
        act.part_mc = part->value.si;
    if (!carry_out(act, state.refusal)) return;
    state.unit_kept = ask.unit;
    open_next_reading();
}

/// After a reading the keypad goes to the next one still to give, or closes.
void App::open_next_reading()
{
    screens::StepInHand& state = memory_.step;
    const auto           last  = state.typing;
    state.typing.reset();
    state.keypad       = {};
    const auto in_hand = job();
    if (in_hand == nullptr || !last) return;
    const screens::StepView view = view_of(context(), *in_hand, state);
    if (!view.open_cell) return;
    const screens::CellView& cell = view.cells[*view.open_cell];
    if (cell.ask == "turn" || cell.ask == "extra") return; // the dial's
    const auto minute = [](const std::string& slot) { return slot.substr(slot.find('.') + 1); };
    if (view.screen == "run_in" && minute(cell.slot) != minute(last->second)) return; // its time has not come
    if (cell.kind == engine::AskKind::reading || cell.kind == engine::AskKind::code)
        screens::open_keypad(state, context(), in_hand->plan, {cell.ask, cell.slot});
}

void App::close_step()
{
    screens::StepInHand& state   = memory_.step;
    const auto           in_hand = job();
    if (in_hand == nullptr) return;
    const auto status = in_hand->progress.step(state.at)->state;
    if (status == engine::StepState::open && !carry_out(engine::CloseStep{state.at}, state.refusal)) return;
    const auto after = job();
    if (after == nullptr) return way_.home();
    if (const auto next = screens::step_to_go_on(after->progress)) return open_step(*next);
    way_.lead({Place::sheet});
}

void App::record_turn()
{
    screens::StepInHand& state   = memory_.step;
    const auto           in_hand = job();
    if (in_hand == nullptr) return;
    const engine::PlanStep* planned  = in_hand->plan.find(state.at);
    const auto*             position = in_hand->progress.position(state.at.pos);
    for (const engine::Ask& ask : planned->step.asks) {
        const bool turn = ask.limits == "turn";
        if (!turn && ask.limits != "tab") continue;
        const double from  = position != nullptr && position->turned ? position->turned->value : 0.0;
        const double angle = turn ? state.dial_deg : state.dial_deg - from;
        const auto   value = engine::enter(engine::fixed(angle, 0), engine::UnitOf::deg);
        if (!value ||
            !carry_out(engine::TakeReading{state.at, ask.name, "", *value, "", {}, "dial"}, state.refusal))
            return;
        state.dial_moved = false;
        const auto after = job();
        if (after == nullptr) return;
        const auto* status = after->progress.step(state.at);
        if (status->state == engine::StepState::open && status->missing.empty()) close_step();
        return;
    }
}

void App::click_bolt(const StepAsk& ask)
{
    screens::StepInHand& state = memory_.step;
    if (ask.slot.empty()) { // an earlier pass: nothing the record keeps
        const auto  in_hand = job();
        const auto* unit    = in_hand ? in_hand->plan.unit(state.at.pos) : nullptr;
        if (unit != nullptr && ++state.clicked >= unit->bolts) ++state.pass, state.clicked = 0;
        return;
    }
    const auto value = engine::enter(state.wrench, state.wrench_unit);
    if (!value) {
        state.refusal = value.error().message;
        return;
    }
    (void)carry_out(engine::TakeReading{state.at, ask.ask, ask.slot, *value, state.tool, {}, "click"},
                    state.refusal);
}

} // namespace field::app
