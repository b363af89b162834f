#include "field/screens/fitter/settings.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr int   kGloveTargets  = 20;
constexpr float kCardHeight_mm = 53.98F;                      ///< ISO/IEC 7810 ID-1 (from memory)
constexpr float kSmallestScale = 3.0F, kLargestScale = 20.0F; ///< px/mm a tablet can have

struct Row {
    std::string              id, label;
    std::vector<std::string> answers;
    int                      chosen = 0;
};

/// Returns the answer tapped, -1 for none.
int draw_row(kit::Ui& ui, const Rect& box, const Row& row)
{
    Rect        rest  = box;
    const float label = ui.portrait() ? 24.0F : 36.0F;
    const Rect  words = rest.cut_left(label, 2.0F);
    ui.canvas().text_fitted({words.x, words.centre().y}, row.label,
                            {Role::instruction, ui.palette().soft, look::Across::left, look::Upright::middle},
                            words.w);
    int tapped = -1;
    for (std::size_t i = 0; i < row.answers.size(); ++i)
        if (kit::button(
                ui, row.id + "." + std::to_string(i),
                look::cell(rest, {static_cast<int>(row.answers.size()), 1, kit::kGap}, static_cast<int>(i)),
                {.title = row.answers[i],
                 .kind =
                     static_cast<int>(i) == row.chosen ? kit::ButtonKind::chosen : kit::ButtonKind::quiet}))
            tapped = static_cast<int>(i);
    return tapped;
}

SettingsAsk draw_all(kit::Ui& ui, SettingsState& state, const ViewContext& context, const Settings& settings)
{
    using Kind               = SettingsAsk::Kind;
    const look::Words& words = *context.words;
    SettingsAsk        ask{.settings = settings};
    const auto         tap =
        kit::main_bar(ui, {.side = {{"plant", {.title = words.say("settings.plant")}}},
                           .main = {words.say("settings.done"), words.say("settings.done_sub"), true}});
    Rect        body = page_body(ui, true);
    const float row  = kit::kTarget;
    if (const int i = draw_row(ui, body.cut_top(row, kit::kGap),
                               {"units",
                                words.say("settings.units"),
                                {words.say("pad.mm"), words.say("pad.in")},
                                static_cast<int>(settings.units)});
        i >= 0)
        ask.settings.units = static_cast<Units>(i);
    if (const int i =
            draw_row(ui, body.cut_top(row, kit::kGap),
                     {"light",
                      words.say("settings.light"),
                      {words.say("settings.day"), words.say("settings.dim"), words.say("settings.glare")},
                      static_cast<int>(settings.light)});
        i >= 0)
        ask.settings.light = static_cast<look::Light>(i);
    if (const int i = draw_row(ui, body.cut_top(row, kit::kGap),
                               {"hand",
                                words.say("settings.hand"),
                                {words.say("settings.right"), words.say("settings.left")},
                                static_cast<int>(settings.hand)});
        i >= 0)
        ask.settings.hand = static_cast<look::Hand>(i);
    if (const int i = draw_row(ui, body.cut_top(row, kit::kGap),
                               {"check",
                                words.say("settings.check"),
                                {words.say("settings.card"), words.say("settings.glove")},
                                -1});
        i >= 0) {
        state.page    = i == 0 ? SettingsState::Page::bank_card : SettingsState::Page::glove_test;
        state.card_px = kBankCardWidth_mm * ui.screen().px_per_mm;
        state.glove_hits.clear();
        state.glove_misses = 0;
    }
    if (!(ask.settings == settings)) ask.kind = Kind::changed;
    if (tap.is("plant")) ask.kind = Kind::plant;
    if (tap.main) ask.kind = Kind::back;
    return ask;
}

/// The frame is as wide as the card when the scale is right.
SettingsAsk draw_card(kit::Ui& ui, SettingsState& state, const ViewContext& context, const Settings& settings)
{
    const look::Words& words  = *context.words;
    look::Canvas&      canvas = ui.canvas();
    SettingsAsk        ask{.settings = settings};
    const float        scale = state.card_px / kBankCardWidth_mm;
    const auto         tap =
        kit::main_bar(ui, {.side = {{"back", {.title = words.say("bar.back")}}},
                           .main = {words.say("settings.card_fits"),
                                    engine::fixed(static_cast<double>(scale), 3) + " px/mm", true}});
    Rect body = page_body(ui, true);
    page_line(ui, body, words.say("settings.card_do"));
    const Rect keys = body.cut_bottom(kit::kTarget, kit::kGap);
    // The frame never grows past the glass: a width that is not shown must not become the scale.
    const float wide = canvas.mm(state.card_px);
    const float tall = std::min(wide * kCardHeight_mm / kBankCardWidth_mm, body.h);
    const Rect  frame{body.x, body.y, wide, tall};
    canvas.rect(frame, ui.palette().act_wash, look::kCorner);
    canvas.frame(frame, {ui.palette().act, 0.5F}, look::kCorner);
    const float steps[] = {-10.0F, -1.0F, 1.0F, 10.0F};
    const char* names[] = {"− −", "−", "+", "+ +"};
    for (int i = 0; i < 4; ++i)
        if (kit::button(ui, "card." + std::to_string(i), look::cell(keys, {4, 1, kit::kGap}, i),
                        {.title = names[i]}))
            state.card_px = std::clamp(state.card_px + steps[i], kBankCardWidth_mm * kSmallestScale,
                                       std::min(kBankCardWidth_mm * kLargestScale, canvas.px(body.w)));
    if (tap.is("back")) state.page = SettingsState::Page::all;
    if (tap.main) {
        ask.settings.px_per_mm = scale;
        ask.kind               = SettingsAsk::Kind::changed;
        state.page             = SettingsState::Page::all;
    }
    return ask;
}

/// Twenty targets, one after the other, at places spread over the glass.
SettingsAsk draw_glove(kit::Ui& ui, SettingsState& state, const ViewContext& context,
                       const Settings& settings)
{
    const look::Words& words = *context.words;
    const int          hits  = static_cast<int>(state.glove_hits.size());
    const bool         over  = hits >= kGloveTargets;
    const std::string  count =
        words.say("settings.glove_count",
                  {std::to_string(hits), std::to_string(kGloveTargets), std::to_string(state.glove_misses)});
    const auto tap = kit::main_bar(
        ui,
        {.side = {}, .main = {words.say(over ? "settings.glove_over" : "settings.glove_stop"), count, true}});
    Rect              body = page_body(ui, false);
    const std::string line =
        over ? words.say(state.glove_misses <= 1 ? "settings.glove_good" : "settings.glove_bad")
             : words.say("settings.glove_do");
    if (over)
        page_title(ui, body, line);
    else
        page_line(ui, body, line);
    if (!over) {
        const int  columns = 5, rows = 4;
        const int  place = (hits * 7) % kGloveTargets; // 7 and 20 share no factor: every place comes once
        const auto cell  = look::cell(body, {columns, rows, kit::kGap}, place);
        const Rect target{std::min(cell.x, body.right() - kit::kTarget),
                          std::min(cell.y, body.bottom() - kit::kTarget), kit::kTarget, kit::kTarget};
        const bool hit = bool(kit::button(ui, "glove", target, {.title = "", .kind = kit::ButtonKind::act}));
        if (hit)
            state.glove_hits.push_back(place);
        else if (ui.touched() && !tap.main && !ui.touched_in(target) && !ui.touched_in(ui.areas().bar))
            ++state.glove_misses;
    }
    if (tap.main) state.page = SettingsState::Page::all;
    return {.settings = settings};
}

} // namespace

SettingsAsk draw(kit::Ui& ui, SettingsState& state, const ViewContext& context, const Settings& settings)
{
    const std::string title =
        context.words->say(state.page == SettingsState::Page::all         ? "settings.title"
                           : state.page == SettingsState::Page::bank_card ? "settings.card"
                                                                          : "settings.glove");
    const Heading heading = heading_of(context, title);
    kit::strip(ui, {heading.title, heading.status, heading.clock});
    switch (state.page) {
    case SettingsState::Page::bank_card:
        return draw_card(ui, state, context, settings);
    case SettingsState::Page::glove_test:
        return draw_glove(ui, state, context, settings);
    case SettingsState::Page::all:
        break;
    }
    return draw_all(ui, state, context, settings);
}

} // namespace field::screens
