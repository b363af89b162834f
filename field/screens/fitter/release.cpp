#include "field/screens/fitter/release.h"

#include "field/kit/button.h"
#include "field/kit/keypad.h"
#include "field/kit/main_bar.h"
#include "field/look/symbols.h"

#include <array>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {
constexpr std::array kReasons{"within_experience", "sheet_confirmed", "replace_part"};
}

ReleaseView view_of(const ViewContext& context, const engine::JobState& job, const ReleaseState& state)
{
    const look::Words& words = *context.words;
    ReleaseView        view;
    view.heading = heading_of(context, place_title(context, job.plan, state.at.pos));
    view.title   = words.say("release.title", {step_words(context, job.plan, state.at, "short")});
    view.back    = words.say("bar.back");
    view.release = words.say("release.accept");
    view.again   = words.say("release.again");
    view.pin     = words.say("release.pin");
    for (const char* reason : kReasons)
        view.reasons.emplace_back(reason, words.say(std::string("reason.") + reason));
    for (const auto& [badge, person] : context.catalogue->people)
        if (person.role == engine::Role::supervisor) view.supervisors.push_back(badge);
    if (const auto* status = job.progress.step(state.at)) {
        view.because = status->assessment.sentence;
        if (view.because.empty() && !status->facts.problems.empty())
            view.because = words.say("reason." + status->facts.problems.back().reason);
    }
    view.main_on = !state.badge.empty() && state.pin.size() >= 4 && state.accept &&
                   (!*state.accept || !state.reason.empty());
    view.main_title =
        state.badge.empty() ? words.say("release.sign") : words.say("release.sign_as", {state.badge});
    if (view.supervisors.empty())
        view.main_sub = words.say("release.no_supervisor");
    else if (!state.accept)
        view.main_sub = words.say("release.decide_first");
    else if (*state.accept && state.reason.empty())
        view.main_sub = words.say("release.reason_first");
    else if (state.badge.empty())
        view.main_sub = words.say("release.badge_first");
    else if (state.pin.size() < 4)
        view.main_sub = words.say("release.pin_first");
    else
        view.main_sub = words.say(*state.accept ? "release.accept_sub" : "release.again_sub");
    return view;
}

namespace {

/// A row of equal tiles; returns the index tapped, -1 for none.
template <class Label> int tiles(kit::Ui& ui, const Rect& row, std::size_t count, int chosen, Label label)
{
    int tapped = -1;
    for (std::size_t i = 0; i < count; ++i) {
        const auto [id, words] = label(i);
        if (kit::button(
                ui, id, look::cell(row, {static_cast<int>(count), 1, kit::kGap}, static_cast<int>(i)),
                {.title = words,
                 .kind  = static_cast<int>(i) == chosen ? kit::ButtonKind::chosen : kit::ButtonKind::quiet,
                 .role  = Role::label}))
            tapped = static_cast<int>(i);
    }
    return tapped;
}

void draw_pin(kit::Ui& ui, const Rect& row, const ReleaseState& state, const ReleaseView& view)
{
    look::Canvas& canvas = ui.canvas();
    const float   middle = row.y + row.h / 2;
    const float   width =
        canvas.text({row.x, middle}, view.pin,
                    {Role::label, ui.palette().soft, look::Across::left, look::Upright::middle});
    for (std::size_t i = 0; i < state.pin.size(); ++i)
        canvas.circle({row.x + width + 6.0F + static_cast<float>(i) * 6.0F, middle}, 1.7F, ui.palette().ink);
}

void draw_decision(kit::Ui& ui, Rect box, ReleaseState& state, const ReleaseView& view)
{
    const int accept = tiles(ui, box.cut_top(kit::kTarget, kit::kGap), 2,
                             state.accept ? (*state.accept ? 0 : 1) : -1, [&](std::size_t i) {
                                 return i == 0 ? std::pair(std::string("accept"), view.release)
                                               : std::pair(std::string("again"), view.again);
                             });
    if (accept >= 0) state.accept = accept == 0;
    if (state.accept && *state.accept) {
        int chosen = -1;
        for (std::size_t i = 0; i < view.reasons.size(); ++i)
            if (view.reasons[i].first == state.reason) chosen = static_cast<int>(i);
        const int reason =
            tiles(ui, box.cut_top(kit::kTarget, kit::kGap), view.reasons.size(), chosen, [&](std::size_t i) {
                return std::pair("reason." + view.reasons[i].first, view.reasons[i].second);
            });
        if (reason >= 0) state.reason = view.reasons[static_cast<std::size_t>(reason)].first;
    }
    const std::size_t badges = std::min<std::size_t>(view.supervisors.size(), 4);
    if (badges == 0) return;
    int chosen = -1;
    for (std::size_t i = 0; i < badges; ++i)
        if (view.supervisors[i] == state.badge) chosen = static_cast<int>(i);
    if (box.h < kit::kTarget) return;
    const int badge = tiles(ui, box.cut_top(kit::kTarget, kit::kGap), badges, chosen, [&](std::size_t i) {
        return std::pair("badge." + view.supervisors[i], view.supervisors[i]);
    });
    if (badge >= 0) state.badge = view.supervisors[static_cast<std::size_t>(badge)], state.pin.clear();
}

} // namespace

ReleaseAsk draw(kit::Ui& ui, ReleaseState& state, const ReleaseView& view)
{
    using Kind           = ReleaseAsk::Kind;
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    kit::BarTap tap;
    if (ui.portrait())
        tap.main = bool(kit::button(ui, "main", ui.areas().main,
                                    {.title   = view.main_title,
                                     .sub     = view.main_sub,
                                     .kind    = kit::ButtonKind::act,
                                     .enabled = view.main_on}));
    else
        tap = kit::main_bar(ui, {.side = {{"back", {.title = view.back}}},
                                 .main = {view.main_title, view.main_sub, view.main_on}});
    // The PIN pad and the signature stand apart from the decision: two taps in two places.
    Rect box = ui.areas().reading;
    box.y -= 5.0F, box.h += 5.0F;
    const bool pin_open = !state.badge.empty() &&
                          (!ui.portrait() || (state.accept && (!*state.accept || !state.reason.empty())));
    if (ui.portrait() && !pin_open) box.h = ui.areas().main.y - kit::kGap - box.y;
    box.cut_top(canvas.text_wrapped(box, view.title,
                                    {Role::title, ui.palette().ink, look::Across::left, look::Upright::top}) +
                2.0F);
    const bool         refused = !state.refusal.empty();
    const std::string& line    = refused ? state.refusal : view.because;
    box.cut_top(canvas.text_wrapped(box, line,
                                    {Role::label, refused ? ui.palette().outside : ui.palette().soft,
                                     look::Across::left, look::Upright::top}) +
                3.0F);
    const bool pad = pin_open || !ui.portrait();
    if (pin_open) draw_pin(ui, box.cut_bottom(8.0F, 1.0F), state, view);
    if (!ui.portrait() || !pin_open) draw_decision(ui, box, state, view);
    if (pad) {
        kit::KeypadState keys(kit::PadMode::integer, engine::UnitOf::count);
        for (const char digit : state.pin)
            (void)keys.press(std::string_view(&digit, 1));
        const auto key = kit::keypad(ui, ui.areas().keypad, keys, {.back = ui.portrait()});
        if (key.changed && keys.text().size() <= 12) state.pin = keys.text(), state.refusal.clear();
        if (key.back) state.badge.clear(), state.pin.clear();
    }
    if (tap.is("back")) return {Kind::back};
    return {tap.main ? Kind::sign : Kind::nothing};
}

} // namespace field::screens
