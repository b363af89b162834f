#include "field/screens/fitter/my_key.h"

#include "field/kit/keypad.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr std::size_t kShortestPin = 4, kLongestPin = 12; ///< as where a decision is signed

void tell_standing(CodeCard& card, const ViewContext& context, const PlantGlance& plant,
                   const std::string& key)
{
    const look::Words& words  = *context.words;
    const auto         listed = plant.roster->persons().find(key);
    if (listed == plant.roster->persons().end()) {
        card.symbol = look::Symbol::not_done, card.standing = words.say("plant.key_waits");
    } else if (listed->second.ended) {
        card.symbol = look::Symbol::outside, card.standing = words.say("plant.key_ended");
    } else {
        card.symbol   = look::Symbol::inside;
        card.standing = words.say("plant.enrolled", {words.say("role." + listed->second.role)});
    }
}

} // namespace

MyKeyView view_of(const ViewContext& context, const PlantGlance& plant, const MyKeyState& state)
{
    const look::Words& words = *context.words;
    MyKeyView          view;
    view.heading = heading_of(context, words.say("plant.my_key"));
    view.back    = words.say("bar.back");
    if (!state.key.empty()) {
        view.card.title         = words.say("plant.badge", {context.badge});
        view.card.figures_label = words.say("plant.key_figures");
        show_key(view.card, state.key, share::text_of({plant.own.plant, context.badge, state.key, true}));
        tell_standing(view.card, context, plant, state.key);
        view.card.note  = words.say("plant.key_here");
        view.main_title = words.say("settings.done");
        view.main_sub   = words.say("plant.key_shown");
        return view;
    }
    const bool typed = state.pin.size() >= kShortestPin;
    view.title       = words.say("plant.make_my_key", {context.badge});
    view.line        = words.say("plant.pin_opens");
    view.typing      = !plant.signing;
    view.main_on     = view.typing && typed;
    view.main_title  = words.say(plant.signing ? "plant.making" : "plant.make");
    view.main_sub    = words.say(plant.signing ? "plant.making_sub"
                                 : typed       ? "plant.make_sub"
                                               : "release.pin_first");
    return view;
}

namespace {

void draw_pin(kit::Ui& ui, Rect box, const MyKeyState& state, const MyKeyView& view)
{
    look::Canvas& canvas = ui.canvas();
    page_title(ui, box, view.title);
    if (state.refusal.empty())
        page_note(ui, box, view.line);
    else
        page_refusal(ui, box, state.refusal);
    const float y = box.y + canvas.cap_mm(Role::value) / 2;
    for (std::size_t i = 0; i < state.pin.size(); ++i)
        canvas.circle({box.x + 2.0F + static_cast<float>(i) * 5.0F, y}, 1.7F, ui.palette().ink);
}

MyKeyAsk draw_making(kit::Ui& ui, MyKeyState& state, const MyKeyView& view)
{
    // Upright the pad covers the small buttons and has its own Back.
    kit::MainBar bar{.side = {}, .main = {view.main_title, view.main_sub, view.main_on}};
    if (!(view.typing && ui.portrait()))
        bar.side.push_back({"back", {.title = view.back, .enabled = view.typing}});
    const kit::BarTap tap = kit::main_bar(ui, bar);
    Rect              box = page_body(ui, true);
    if (view.typing) {
        const Rect& reading = ui.areas().reading;
        box.x = reading.x, box.w = reading.w, box.h = reading.bottom() - box.y;
    }
    draw_pin(ui, box, state, view);
    bool back = tap.is("back");
    if (view.typing) {
        kit::KeypadState keys(kit::PadMode::integer, engine::UnitOf::count);
        for (const char digit : state.pin)
            (void)keys.press(std::string_view(&digit, 1));
        const auto key = kit::keypad(ui, ui.areas().keypad, keys, {.enter = false, .back = ui.portrait()});
        if (key.changed && keys.text().size() <= kLongestPin) state.pin = keys.text(), state.refusal.clear();
        back = back || key.back;
    }
    if (back) return MyKeyAsk::back;
    return tap.main ? MyKeyAsk::make : MyKeyAsk::nothing;
}

} // namespace

MyKeyAsk draw(kit::Ui& ui, MyKeyState& state, const MyKeyView& view)
{
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    if (state.key.empty()) return draw_making(ui, state, view);
    const auto tap = kit::main_bar(ui, {.side = {{"back", {.title = view.back}}},
                                        .main = {view.main_title, view.main_sub, view.main_on}});
    draw_code_card(ui, page_body(ui, true), view.card);
    return tap.main || tap.is("back") ? MyKeyAsk::back : MyKeyAsk::nothing;
}

} // namespace field::screens
