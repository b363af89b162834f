#include "field/screens/fitter/release.h"

#include "field/kit/button.h"
#include "field/kit/keypad.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"

#include <algorithm>
#include <array>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {
constexpr std::array kReleaseReasons{"within_experience", "sheet_confirmed", "replace_part"};
}

ReleaseView view_of(const ViewContext& context, const engine::JobState& job, const ReleaseState& state)
{
    const look::Words& words = *context.words;
    ReleaseView        view;
    view.heading = heading_of(context, place_title(context, job.plan, state.at.pos));
    view.title   = words.say("release.title", {step_words(context, job.plan, state.at, "next")});
    view.back    = words.say("bar.back");
    view.release = words.say("release.accept");
    view.again   = words.say("release.again");
    view.pin     = words.say("release.pin_for", {state.badge});
    for (const char* reason : kReleaseReasons)
        view.reasons.emplace_back(reason, words.say(std::string("reason.") + reason));
    for (const auto& [badge, person] : context.catalogue->people)
        if (person.role == engine::Role::supervisor) view.supervisors.push_back(badge);
    if (const auto* status = job.progress.step(state.at)) {
        view.because = without_sources(status->assessment.sentence);
        if (view.because.empty() && !status->facts.problems.empty())
            view.because = words.say("reason." + status->facts.problems.back().reason);
    }
    if (view.because.empty()) view.because = words.say("release.nothing_told");
    if (state.accept) {
        view.decision = *state.accept ? view.release : view.again;
        if (*state.accept && !state.reason.empty())
            view.decision += ": " + words.say("reason." + state.reason);
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

/// Which of the three rows is picked, -1 for none.
template <class List, class Same> int picked(const List& list, Same same)
{
    const auto found = std::find_if(list.begin(), list.end(), same);
    return found == list.end() ? -1 : static_cast<int>(found - list.begin());
}

/// First stage: what is decided, why, and by whom. Nothing is signed here.
void draw_decision(kit::Ui& ui, Rect box, ReleaseState& state, const ReleaseView& view)
{
    const int before = state.accept ? (*state.accept ? 0 : 1) : -1;
    const int accept = tiles(ui, box.cut_top(kit::kTarget, kit::kGap), 2, before, [&](std::size_t i) {
        return i == 0 ? std::pair(std::string("accept"), view.release)
                      : std::pair(std::string("again"), view.again);
    });
    if (accept >= 0) state.accept = accept == 0;
    if (!state.accept) return;
    if (*state.accept) {
        const int chosen =
            picked(view.reasons, [&](const auto& reason) { return reason.first == state.reason; });
        const int reason =
            tiles(ui, box.cut_top(kit::kTarget, kit::kGap), view.reasons.size(), chosen, [&](std::size_t i) {
                return std::pair("reason." + view.reasons[i].first, view.reasons[i].second);
            });
        if (reason >= 0) state.reason = view.reasons[static_cast<std::size_t>(reason)].first;
        if (state.reason.empty()) return;
    }
    const std::size_t badges = std::min<std::size_t>(view.supervisors.size(), 4);
    if (badges == 0 || box.h < kit::kTarget) return;
    const int badge = tiles(ui, box.cut_top(kit::kTarget, kit::kGap), badges, -1, [&](std::size_t i) {
        return std::pair("badge." + view.supervisors[i], ui.say("today.badge", {view.supervisors[i]}));
    });
    if (badge >= 0) state.badge = view.supervisors[static_cast<std::size_t>(badge)], state.pin.clear();
}

/// Second stage: the decision in words, and a dot a digit of the PIN.
void draw_pin(kit::Ui& ui, Rect box, const ReleaseState& state, const ReleaseView& view)
{
    look::Canvas& canvas = ui.canvas();
    page_line(ui, box, view.decision);
    const float base  = box.y + canvas.cap_mm(Role::instruction_bold);
    const float width = canvas.text({box.x, base}, view.pin, {Role::instruction_bold, ui.palette().ink});
    const float y     = base - canvas.cap_mm(Role::instruction_bold) / 2;
    for (std::size_t i = 0; i < state.pin.size(); ++i)
        canvas.circle({box.x + width + 6.0F + static_cast<float>(i) * 5.0F, y}, 1.7F, ui.palette().ink);
}

} // namespace

ReleaseAsk draw(kit::Ui& ui, ReleaseState& state, const ReleaseView& view)
{
    using Kind = ReleaseAsk::Kind;
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    // The decision on one page, PIN and signature on the next: two taps in two places.
    const bool signing = !state.badge.empty();
    // Upright the pad covers the small buttons and has its own Back.
    kit::MainBar bar{.side = {}, .main = {view.main_title, view.main_sub, view.main_on}};
    if (!(signing && ui.portrait())) bar.side.push_back({"back", {.title = view.back}});
    const kit::BarTap tap = kit::main_bar(ui, bar);
    Rect              box = page_body(ui, true);
    if (signing) {
        const Rect& reading = ui.areas().reading;
        box.x = reading.x, box.w = reading.w, box.h = reading.bottom() - box.y;
    }
    page_title(ui, box, view.title);
    if (state.refusal.empty())
        page_note(ui, box, view.because);
    else
        page_refusal(ui, box, state.refusal);
    if (!signing) {
        draw_decision(ui, box, state, view);
        return {tap.is("back") ? Kind::back : Kind::nothing};
    }
    draw_pin(ui, box, state, view);
    kit::KeypadState keys(kit::PadMode::integer, engine::UnitOf::count);
    for (const char digit : state.pin)
        (void)keys.press(std::string_view(&digit, 1));
    const auto key = kit::keypad(ui, ui.areas().keypad, keys, {.enter = false, .back = ui.portrait()});
    if (key.changed && keys.text().size() <= 12) state.pin = keys.text(), state.refusal.clear();
    // Back leads to the decision, which stays as it was picked.
    if (key.back || tap.is("back")) state.badge.clear(), state.pin.clear(), state.refusal.clear();
    return {tap.main ? Kind::sign : Kind::nothing};
}

} // namespace field::screens
