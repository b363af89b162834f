#include "field/screens/fitter/this_tablet.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"
#include "field/screens/pager.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

void tell_standing(ThisTabletView& view, const ViewContext& context, const PlantGlance& plant)
{
    const look::Words&    words  = *context.words;
    const engine::Roster& roster = *plant.roster;
    const auto            listed = roster.machines().find(plant.own.key);
    if (!roster.enrolled()) {
        const bool list    = !plant.offer.plant_keys.empty();
        view.card.symbol   = list ? look::Symbol::undecided : look::Symbol::not_done;
        view.card.standing = words.say(list ? "plant.untrusted" : "plant.unenrolled");
    } else if (listed == roster.machines().end()) {
        view.card.symbol = look::Symbol::not_done, view.card.standing = words.say("plant.waiting");
    } else if (listed->second.revoked) {
        view.card.symbol = look::Symbol::outside, view.card.standing = words.say("plant.revoked");
    } else {
        const std::string role = engine::machine_role_name(listed->second.roles.back().role);
        view.card.symbol       = look::Symbol::inside;
        view.card.standing     = words.say("plant.enrolled", {words.say("machine_role." + role)});
    }
    if (roster.trusts()) {
        view.card.plant_label = words.say("plant.key_is", {plant.own.plant});
        view.card.plant_lines = paper_lines(roster.root_key());
        view.card.note        = words.say("plant.compare_wall");
    } else if (!plant.trouble.empty()) {
        view.card.note = plant.trouble;
    }
}

void tell_overview_action(ThisTabletView& view, const ViewContext& context, const PlantGlance& plant)
{
    const look::Words& words = *context.words;
    if (plant.roster->trusts() || !plant.folder_set) {
        view.main_title = words.say("settings.done");
        view.main_sub   = words.say(plant.roster->trusts() ? "plant.goes_on" : "send.no_folder_sub");
    } else if (!plant.offer.plant_keys.empty()) {
        view.main_title = words.say("plant.compare");
        view.main_sub   = words.say("plant.compare_sub");
        view.main_ask   = ThisTabletAsk::compare;
    } else {
        view.main_title = words.say("plant.look");
        view.main_sub   = words.say(plant.looking ? "plant.looking" : "plant.no_list");
        view.main_on    = !plant.looking;
        view.main_ask   = ThisTabletAsk::look;
    }
}

} // namespace

bool held_by(const ViewContext& context, engine::Role role)
{
    const auto holder = context.catalogue->people.find(context.badge);
    return holder != context.catalogue->people.end() && holder->second.role == role;
}

ThisTabletView view_of(const ViewContext& context, const PlantGlance& plant, const ThisTabletState& state)
{
    const look::Words& words = *context.words;
    ThisTabletView     view;
    view.heading = heading_of(context, words.say("plant.this_tablet"));
    view.back    = words.say("bar.back");
    if (state.comparing) {
        view.title = words.say("plant.which");
        view.line  = words.say("plant.which_do");
        view.note  = words.say("plant.trust_means");
        for (const std::string& key : plant.offer.plant_keys)
            view.offers.push_back({key, paper_lines(key)});
        view.main_on    = !state.key.empty();
        view.main_ask   = ThisTabletAsk::trust;
        view.main_title = words.say("plant.trust");
        view.main_sub   = words.say(view.main_on ? "plant.trust_sub" : "plant.which_first");
        return view;
    }
    view.card.title         = words.say("plant.tablet", {plant.own.name});
    view.card.figures_label = words.say("plant.figures");
    show_key(view.card, plant.own.key, share::text_of(plant.own));
    if (held_by(context, engine::Role::planner)) view.members = words.say("plant.members");
    // Only a supervisor's key signs anything, and only where there is a list to be on.
    if (held_by(context, engine::Role::supervisor) && plant.roster->enrolled())
        view.my_key = words.say("plant.my_key");
    tell_standing(view, context, plant);
    tell_overview_action(view, context, plant);
    return view;
}

namespace {

void draw_compare(kit::Ui& ui, Rect body, ThisTabletState& state, const ThisTabletView& view)
{
    look::Canvas& canvas = ui.canvas();
    page_title(ui, body, view.title);
    page_line(ui, body, view.line);
    page_refusal(ui, body, state.refusal);
    page_note(ui, body, view.note);
    const float row_mm = 24.0F;
    const Pages pages  = pages_of(view.offers.size(), body.h, row_mm, state.page);
    if (pages.count > 1) draw_pager(ui, body.cut_bottom(kit::kTarget, kit::kGap), pages, state.page);
    for (std::size_t i = pages.first();
         i < view.offers.size() && i < pages.first() + static_cast<std::size_t>(pages.per_page); ++i) {
        const auto&      offer = view.offers[i];
        const Rect       box   = body.cut_top(row_mm, kit::kGap);
        const bool       mine  = offer.key == state.key;
        const kit::Touch touch =
            kit::button(ui, "offer." + std::to_string(i), box,
                        {.title = "", .kind = mine ? kit::ButtonKind::chosen : kit::ButtonKind::quiet});
        const look::Owner inside(canvas, box);
        const auto  colour = touch.down ? ui.palette().paper : mine ? ui.palette().act : ui.palette().ink;
        const float cap    = canvas.cap_mm(Role::value);
        float       y      = box.centre().y - cap - 1.8F;
        for (const std::string& line : offer.lines) {
            canvas.text({box.centre().x, y}, line,
                        {Role::value, colour, look::Across::centre, look::Upright::top});
            y += cap + 3.6F;
        }
        if (touch) state.key = offer.key, state.refusal.clear();
    }
}

} // namespace

ThisTabletAsk draw(kit::Ui& ui, ThisTabletState& state, const ThisTabletView& view)
{
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    kit::MainBar bar{.side = {{"back", {.title = view.back}}},
                     .main = {view.main_title, view.main_sub, view.main_on}};
    if (!view.members.empty()) bar.side.push_back({"members", {.title = view.members}});
    if (!view.my_key.empty()) bar.side.push_back({"my_key", {.title = view.my_key}});
    const auto tap  = kit::main_bar(ui, bar);
    const Rect body = page_body(ui, true);
    if (state.comparing) {
        draw_compare(ui, body, state, view);
        if (tap.is("back")) state = {};
    } else {
        draw_code_card(ui, body, view.card);
        if (tap.is("back")) return ThisTabletAsk::back;
        if (tap.is("members")) return ThisTabletAsk::members;
        if (tap.is("my_key")) return ThisTabletAsk::my_key;
    }
    return tap.main ? view.main_ask : ThisTabletAsk::nothing;
}

} // namespace field::screens
