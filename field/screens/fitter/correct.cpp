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
    // What a wrench in lb·ft read is corrected in lb·ft.
    if (reading.value.unit == engine::UnitOf::lbf_ft) view.units = {reading.value.unit};
    view.main_on  = state.keypad.complete() && !state.reason.empty();
    view.main_sub = words.say(view.main_on           ? "correct.old_stays"
                              : state.reason.empty() ? "correct.reason_first"
                                                     : "correct.value_first");
    if (!state.reason.empty()) view.why = words.say("reason." + state.reason);
    return view;
}

namespace {

void start_keypad(CorrectState& state, const CorrectView& view)
{
    if (state.started) return;
    const auto usual = view.units.empty() ? engine::UnitOf::mm : view.units.front();
    state.keypad =
        kit::KeypadState(usual == engine::UnitOf::deg ? kit::PadMode::angle : kit::PadMode::decimal, usual);
    state.started = true;
}

void draw_reasons(kit::Ui& ui, const Rect& box, CorrectState& state, const CorrectView& view)
{
    for (std::size_t i = 0; i < view.reasons.size(); ++i) {
        const auto& [key, words] = view.reasons[i];
        if (kit::button(ui, "reason." + key, look::cell(box, {2, 2, kit::kGap}, static_cast<int>(i)),
                        {.title = words,
                         .kind  = key == state.reason ? kit::ButtonKind::chosen : kit::ButtonKind::quiet,
                         .role  = Role::label}))
            state.reason = key;
    }
}

void draw_value(kit::Ui& ui, Rect& box, const CorrectState& state)
{
    kit::reading(ui.canvas(), box.cut_top(std::min(19.0F, box.h)),
                 {.label  = "",
                  .text   = state.keypad.text(),
                  .unit   = std::string(engine::unit_symbol(state.keypad.unit())),
                  .cursor = true});
}

constexpr float kReasons_mm = 2 * kit::kTarget + kit::kGap;

/// Upright the keypad leaves no room for the reasons: they come first, on a page of their own.
CorrectAsk draw_upright(kit::Ui& ui, CorrectState& state, const CorrectView& view)
{
    using Kind           = CorrectAsk::Kind;
    const auto was       = view.what + " · " + view.old_value;
    const bool by_keypad = !state.reason.empty();
    Rect       box       = page_body(ui, true);
    if (!by_keypad) {
        const auto tap = kit::main_bar(ui, {.side = {{"back", {.title = view.back}}},
                                            .main = {view.main_title, view.main_sub, view.main_on}});
        page_title(ui, box, view.title);
        page_line(ui, box, was);
        draw_reasons(ui, box.cut_top(kReasons_mm), state, view);
        return {tap.is("back") ? Kind::back : Kind::nothing};
    }
    const auto tap = kit::main_bar(ui, {.side = {}, .main = {view.main_title, view.main_sub, view.main_on}});
    box.h          = ui.areas().reading.bottom() - box.y;
    page_note(ui, box, was + " · " + view.why);
    if (!state.refusal.empty()) page_refusal(ui, box, state.refusal);
    draw_value(ui, box, state);
    const auto key =
        kit::keypad(ui, ui.areas().keypad, state.keypad, {.signs = view.signs, .enter = false, .back = true});
    if (key.changed) state.refusal.clear();
    if (key.back) state.reason.clear(), state.refusal.clear();
    return {tap.main ? Kind::record : Kind::nothing};
}

} // namespace

CorrectAsk draw(kit::Ui& ui, CorrectState& state, const CorrectView& view)
{
    using Kind = CorrectAsk::Kind;
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    start_keypad(state, view);
    if (ui.portrait()) return draw_upright(ui, state, view);
    const auto tap = kit::main_bar(ui, {.side = {{"back", {.title = view.back}}},
                                        .main = {view.main_title, view.main_sub, view.main_on}});
    Rect       box = ui.areas().reading;
    page_title(ui, box, view.title);
    draw_reasons(ui, box.cut_bottom(kReasons_mm, 2.0F), state, view);
    if (state.refusal.empty())
        page_note(ui, box, view.what + " · " + view.old_value);
    else
        page_refusal(ui, box, state.refusal);
    draw_value(ui, box, state);
    const auto key = kit::keypad(ui, ui.areas().keypad, state.keypad, {.signs = view.signs, .enter = false});
    if (key.changed) state.refusal.clear();
    if (tap.is("back")) return {Kind::back};
    return {tap.main ? Kind::record : Kind::nothing};
}

} // namespace field::screens
