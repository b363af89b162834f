#include "field/screens/fitter/correct.h"

#include "field/kit/keypad.h"
#include "field/kit/main_bar.h"
#include "field/kit/value_cell.h"
#include "field/screens/page.h"

#include <algorithm>
#include <array>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr std::array kReasons{"misread", "mistyped", "wrong_unit", "wrong_place"};

struct Found {
    const engine::ReadingFact* reading = nullptr;
    engine::StepRef            at;
};

Found find(const engine::JobState& job, const std::string& entry_id)
{
    for (const engine::StepStatus& status : job.progress.steps)
        for (const engine::ReadingFact& reading : status.facts.readings)
            if (reading.at.id == entry_id) return {&reading, status.ref};
    return {};
}

} // namespace

CorrectView view_of(const ViewContext& context, const engine::JobState& job, const CorrectState& state)
{
    const look::Words& words = *context.words;
    CorrectView        view;
    view.back  = words.say("bar.back");
    view.title = words.say("correct.title");
    for (const char* reason : kReasons)
        view.reasons.emplace_back(reason, words.say(std::string("reason.") + reason));
    const Found found = find(job, state.entry_id);
    view.heading      = heading_of(context, place_title(context, job.plan, found.at.pos));
    view.main_title   = words.say("correct.main");
    if (found.reading == nullptr) {
        view.main_sub = words.say("correct.gone");
        return view;
    }
    const engine::ReadingFact& reading = *found.reading;
    view.what                          = words.say("ask." + found.at.key + "." + reading.ask);
    if (const std::string slot = "slot." + reading.slot; !reading.slot.empty())
        view.what += ", " + (words.has(slot) ? words.say(slot) : reading.slot);
    view.old_value = words.say(
        "correct.was", {reading.value.text + " " + std::string(engine::unit_symbol(reading.value.unit))});
    view.signs = reading.value.unit == engine::UnitOf::celsius;
    if (const auto* planned = job.plan.find(found.at))
        for (const engine::Ask& ask : planned->step.asks)
            if (ask.name == reading.ask) view.units = ask.units;
    view.main_on  = state.keypad.complete() && !state.reason.empty();
    view.main_sub = view.main_on
                        ? words.say("correct.old_stays")
                        : words.say(state.keypad.complete() ? "correct.reason_first" : "correct.value_first");
    return view;
}

CorrectAsk draw(kit::Ui& ui, CorrectState& state, const CorrectView& view)
{
    using Kind           = CorrectAsk::Kind;
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    if (!state.started) {
        const auto usual = view.units.empty() ? engine::UnitOf::mm : view.units.front();
        state.keypad     = kit::KeypadState(
                usual == engine::UnitOf::deg ? kit::PadMode::angle : kit::PadMode::decimal, usual);
        state.started = true;
    }
    kit::BarTap tap;
    if (ui.portrait()) {
        if (kit::button(ui, "main", ui.areas().main,
                        {.title   = view.main_title,
                         .sub     = view.main_sub,
                         .kind    = kit::ButtonKind::act,
                         .enabled = view.main_on}))
            tap.main = true;
    } else {
        tap = kit::main_bar(ui, {.side = {{"back", {.title = view.back}}},
                                 .main = {view.main_title, view.main_sub, view.main_on}});
    }
    Rect box = ui.areas().reading;
    if (ui.portrait()) box.y -= 5.0F, box.h += 5.0F;
    if (!ui.portrait()) page_title(ui, box, view.title); // upright, the keypad leaves no room for it
    const Rect reasons = box.cut_bottom(ui.portrait() ? kit::kTarget : 2 * kit::kTarget + kit::kGap, 2.0F);
    for (std::size_t i = 0; i < view.reasons.size(); ++i) {
        const auto& [key, words] = view.reasons[i];
        const look::Grid grid    = ui.portrait() ? look::Grid{4, 1, kit::kGap} : look::Grid{2, 2, kit::kGap};
        if (kit::button(ui, "reason." + key, look::cell(reasons, grid, static_cast<int>(i)),
                        {.title = words,
                         .kind  = key == state.reason ? kit::ButtonKind::chosen : kit::ButtonKind::quiet,
                         .role  = Role::label}))
            state.reason = key;
    }
    const std::string& line = state.refusal.empty() ? view.what + " · " + view.old_value : state.refusal;
    box.cut_top(
        canvas.text_wrapped(box, line,
                            {Role::label, state.refusal.empty() ? ui.palette().soft : ui.palette().outside,
                             look::Across::left, look::Upright::top}) +
        2.0F);
    kit::reading(canvas, box.cut_top(std::min(19.0F, box.h)),
                 {.label  = "",
                  .text   = state.keypad.text(),
                  .unit   = std::string(engine::unit_symbol(state.keypad.unit())),
                  .cursor = true});
    const auto key = kit::keypad(ui, ui.areas().keypad, state.keypad,
                                 {.signs = view.signs, .enter = false, .back = ui.portrait()});
    if (key.changed) state.refusal.clear();
    if (key.back || tap.is("back")) return {Kind::back};
    return {tap.main ? Kind::record : Kind::nothing};
}

} // namespace field::screens
