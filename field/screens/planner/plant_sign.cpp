#include "field/screens/planner/plant_sign.h"

#include "field/kit/main_bar.h"
#include "field/screens/page.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

PlantSignView view_of(const ViewContext& context, const PlantGlance& plant, const PlantSignState& state)
{
    const look::Words& words = *context.words;
    PlantSignView      view;
    const bool         found = !plant.key_file.empty();
    const bool         typed = !state.pad.text().empty();
    view.heading             = heading_of(context, words.say("plant.members"));
    view.back                = words.say("bar.back");
    view.space               = words.say("pad.space");
    view.erase               = words.say("pad.erase");
    view.title               = state.what;
    view.trouble             = !state.refusal.empty() || !plant.key_trouble.empty();
    view.note                = !state.refusal.empty()       ? state.refusal
                               : !plant.key_trouble.empty() ? plant.key_trouble
                               : found                      ? words.say("plant.passphrase", {plant.key_file})
                                                            : words.say("plant.key_sought");
    if (!plant.key_trouble.empty()) view.again = words.say("plant.key_again");
    view.signing    = plant.signing;
    view.typing     = found && !plant.signing;
    view.main_on    = view.typing && typed;
    view.main_title = words.say(plant.signing ? "plant.opening" : "plant.sign");
    view.main_sub   = words.say(plant.signing ? "plant.opening_sub"
                                : !found      ? "plant.key_first"
                                : !typed      ? "plant.passphrase_first"
                                              : "plant.sign_sub");
    return view;
}

namespace {

/// Above the pad: what will be said (upright in the strip), then the file or what is wrong, then the dots.
void draw_words(kit::Ui& ui, const PlantSignState& state, const PlantSignView& view)
{
    look::Canvas& canvas = ui.canvas();
    Rect          box    = page_body(ui, true);
    box.h                = kit::letter_pad_area(ui.areas()).y - kit::kGap - box.y;
    if (!view.trouble)
        kit::secret_dots(canvas, box.cut_bottom(canvas.cap_mm(Role::value) + 1.0F, 1.0F), state.pad.text());
    if (!ui.portrait()) {
        canvas.text_fitted({box.x, box.y}, view.title,
                           {Role::instruction_bold, ui.palette().ink, look::Across::left, look::Upright::top},
                           box.w);
        box.cut_top(canvas.cap_mm(Role::instruction_bold), 4.0F);
    }
    if (view.trouble)
        page_refusal(ui, box, view.note);
    else
        page_note(ui, box, view.note);
}

} // namespace

PlantSignAsk draw(kit::Ui& ui, PlantSignState& state, const PlantSignView& view)
{
    kit::strip(ui,
               {ui.portrait() ? view.title : view.heading.title, view.heading.status, view.heading.clock});
    PlantSignAsk ask = PlantSignAsk::nothing;
    kit::MainBar bar{.side = {}, .main = {view.main_title, view.main_sub, view.main_on}};
    if (!(view.typing && ui.portrait())) { // upright the pad covers the small buttons and has them as keys
        bar.side.push_back({"back", {.title = view.back, .enabled = !view.signing}});
        if (!view.again.empty()) bar.side.push_back({"again", {.title = view.again}});
        if (view.typing) bar.side.push_back({"key.space", {.title = view.space}});
        if (view.typing) bar.side.push_back({"key.erase", {.title = view.erase}});
    }
    const kit::BarTap tap = kit::main_bar(ui, bar);
    draw_words(ui, state, view);
    bool changed = false, back = tap.is("back");
    if (view.typing) {
        const auto pad = kit::letter_pad(ui, state.pad);
        changed        = pad.changed;
        back           = back || pad.back;
        if (tap.is("key.space")) changed = state.pad.press("space") || changed;
        if (tap.is("key.erase")) changed = state.pad.press("erase") || changed;
    }
    if (changed) state.refusal.clear();
    if (tap.is("again")) ask = PlantSignAsk::find_key;
    if (back) ask = PlantSignAsk::back;
    return tap.main ? PlantSignAsk::sign : ask;
}

} // namespace field::screens
