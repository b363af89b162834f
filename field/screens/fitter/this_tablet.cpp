#include "field/screens/fitter/this_tablet.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/kit/qr_code.h"
#include "field/screens/page.h"
#include "field/screens/pager.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr std::size_t kGroup = 4; ///< digits of a group of figures
constexpr std::size_t kLine  = 4 * (kGroup + 1);
constexpr float       kQr_mm = 62.0F; ///< as wide as can be without pushing the figures off

void tell_standing(ThisTabletView& view, const ViewContext& context, const PlantGlance& plant)
{
    const look::Words&    words  = *context.words;
    const engine::Roster& roster = *plant.roster;
    const auto            listed = roster.machines().find(plant.own.key);
    if (!roster.enrolled()) {
        const bool list = !plant.offer.plant_keys.empty();
        view.symbol     = list ? look::Symbol::undecided : look::Symbol::not_done;
        view.standing   = words.say(list ? "plant.untrusted" : "plant.unenrolled");
    } else if (listed == roster.machines().end()) {
        view.symbol = look::Symbol::not_done, view.standing = words.say("plant.waiting");
    } else if (listed->second.revoked) {
        view.symbol = look::Symbol::outside, view.standing = words.say("plant.revoked");
    } else {
        const std::string role = engine::machine_role_name(listed->second.roles.back().role);
        view.symbol            = look::Symbol::inside;
        view.standing          = words.say("plant.enrolled", {words.say("machine_role." + role)});
    }
    if (roster.trusts()) {
        view.plant_label = words.say("plant.key_is", {plant.own.plant});
        view.plant_lines = paper_lines(roster.root_key());
        view.note        = words.say("plant.compare_wall");
    } else if (!plant.trouble.empty()) {
        view.note = plant.trouble;
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

std::vector<std::string> paper_lines(const std::string& key_hex)
{
    const std::string figures = engine::fingerprint_of(key_hex);
    if (figures.size() < kLine) return {figures};
    return {figures.substr(0, kLine - 1), figures.substr(kLine)};
}

bool held_by_planner(const ViewContext& context)
{
    const auto holder = context.catalogue->people.find(context.badge);
    return holder != context.catalogue->people.end() && holder->second.role == engine::Role::planner;
}

ThisTabletView view_of(const ViewContext& context, const PlantGlance& plant, const ThisTabletState& state)
{
    const look::Words& words = *context.words;
    ThisTabletView     view;
    view.heading = heading_of(context, words.say("plant.this_tablet"));
    view.back    = words.say("bar.back");
    if (state.comparing) {
        view.title    = words.say("plant.which");
        view.standing = words.say("plant.which_do");
        view.note     = words.say("plant.trust_means");
        for (const std::string& key : plant.offer.plant_keys)
            view.offers.push_back({key, paper_lines(key)});
        view.main_on    = !state.key.empty();
        view.main_ask   = ThisTabletAsk::trust;
        view.main_title = words.say("plant.trust");
        view.main_sub   = words.say(view.main_on ? "plant.trust_sub" : "plant.which_first");
        return view;
    }
    view.title               = words.say("plant.tablet", {plant.own.name});
    view.figures_label       = words.say("plant.figures");
    const std::string digits = share::figures_of(plant.own.key);
    for (std::size_t at = 0; at < digits.size(); at += kGroup + 1)
        view.figures.push_back(digits.substr(at, kGroup));
    view.qr = camera::qr_of(share::text_of(plant.own));
    if (held_by_planner(context)) view.members = words.say("plant.members");
    tell_standing(view, context, plant);
    tell_overview_action(view, context, plant);
    return view;
}

namespace {

/// Figures to be read aloud: as many groups a line as fit, large.
void draw_figures(kit::Ui& ui, Rect& box, const ThisTabletView& view)
{
    look::Canvas& canvas = ui.canvas();
    page_note(ui, box, view.figures_label);
    const std::size_t a_line =
        canvas.text_width("0000 0000", Role::second) <= box.w ? std::size_t{2} : std::size_t{1};
    std::string line;
    for (std::size_t i = 0; i < view.figures.size(); ++i) {
        line += (line.empty() ? "" : " ") + view.figures[i];
        if ((i + 1) % a_line != 0 && i + 1 < view.figures.size()) continue;
        canvas.text({box.x, box.y}, line,
                    {Role::second, ui.palette().ink, look::Across::left, look::Upright::top});
        box.cut_top(canvas.cap_mm(Role::second), 3.0F);
        line.clear();
    }
    box.cut_top(2.0F);
}

void draw_standing(kit::Ui& ui, Rect& box, const ThisTabletView& view)
{
    look::Canvas&   canvas    = ui.canvas();
    constexpr float kMark_mm  = 7.0F;
    const float     mark_y    = box.y + canvas.cap_mm(Role::instruction) / 2;
    const Rect      words_box = {box.x + kMark_mm + 3.0F, box.y, box.w - kMark_mm - 3.0F, box.h};
    look::draw_symbol(canvas, view.symbol, {box.x + kMark_mm / 2, mark_y + 0.6F}, kMark_mm);
    const float used =
        canvas.text_wrapped(words_box, view.standing,
                            {Role::instruction, ui.palette().ink, look::Across::left, look::Upright::top});
    box.cut_top(std::max(used, kMark_mm), kAfterTitle_mm);
    if (!view.plant_label.empty()) page_note(ui, box, view.plant_label);
    for (const std::string& line : view.plant_lines) {
        canvas.text({box.x, box.y}, line,
                    {Role::value, ui.palette().ink, look::Across::left, look::Upright::top});
        box.cut_top(canvas.cap_mm(Role::value), 2.6F);
    }
    if (!view.plant_lines.empty()) box.cut_top(1.0F);
    if (!view.note.empty()) page_note(ui, box, view.note);
}

void draw_overview(kit::Ui& ui, Rect body, const ThisTabletView& view)
{
    Rect words = body;
    if (ui.portrait()) {
        page_title(ui, body, view.title);
        words          = body;
        Rect       top = words.cut_top(kQr_mm * 0.9F, 4.0F);
        const Rect qr =
            ui.left_handed() ? top.cut_right(kQr_mm * 0.9F, 4.0F) : top.cut_left(kQr_mm * 0.9F, 4.0F);
        if (view.qr) (void)kit::qr_code(ui.canvas(), qr, *view.qr);
        draw_figures(ui, top, view);
    } else {
        const float side = std::min(body.h, body.w * 0.42F);
        const Rect  qr   = ui.left_handed() ? words.cut_right(side, 5.0F) : words.cut_left(side, 5.0F);
        if (view.qr) (void)kit::qr_code(ui.canvas(), {qr.x, qr.y, side, side}, *view.qr);
        page_title(ui, words, view.title);
        draw_figures(ui, words, view);
    }
    draw_standing(ui, words, view);
}

void draw_compare(kit::Ui& ui, Rect body, ThisTabletState& state, const ThisTabletView& view)
{
    look::Canvas& canvas = ui.canvas();
    page_title(ui, body, view.title);
    page_line(ui, body, view.standing);
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
    const auto tap  = kit::main_bar(ui, bar);
    const Rect body = page_body(ui, true);
    if (state.comparing) {
        draw_compare(ui, body, state, view);
        if (tap.is("back")) state = {};
    } else {
        draw_overview(ui, body, view);
        if (tap.is("back")) return ThisTabletAsk::back;
        if (tap.is("members")) return ThisTabletAsk::members;
    }
    return tap.main ? view.main_ask : ThisTabletAsk::nothing;
}

} // namespace field::screens
