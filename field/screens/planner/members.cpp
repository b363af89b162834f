#include "field/screens/planner/members.h"

#include "field/kit/list_row.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"
#include "field/screens/pager.h"

#include <algorithm>
#include <set>

namespace field::screens {

using look::Rect;

namespace {

MemberRow machine_row(const look::Words& words, const PlantGlance& plant, const std::string& dev,
                      const engine::RosterMachine& machine)
{
    MemberRow row;
    row.id     = "machine." + machine.name;
    row.title  = machine.name;
    row.code   = {plant.own.plant, machine.name, dev, false};
    row.symbol = machine.revoked ? look::Symbol::outside : look::Symbol::inside;
    row.second =
        machine.revoked
            ? words.say("plant.row_revoked")
            : words.say(std::string("machine_role.") + engine::machine_role_name(machine.roles.back().role)) +
                  " · " + share::figures_of(dev);
    if (dev == plant.own.key) row.title += " · " + words.say("plant.this_one");
    return row;
}

MemberRow person_row(const ViewContext& context, const PlantGlance& plant, const std::string& key,
                     const engine::RosterPerson& person)
{
    const look::Words& words = *context.words;
    MemberRow          row;
    row.id     = "badge." + person.badge;
    row.title  = words.say("plant.badge", {person.badge});
    row.code   = {plant.own.plant, person.badge, key, true};
    row.symbol = person.ended ? look::Symbol::outside : look::Symbol::inside;
    row.second = person.ended ? words.say("plant.row_ended")
                              : words.say("role." + person.role) + " · " + share::figures_of(key);
    return row;
}

/// A name may come twice; a script, and a planner, must still tell the rows apart.
void tell_apart(std::vector<MemberRow>& rows)
{
    std::set<std::string> met;
    for (MemberRow& row : rows)
        if (!met.insert(row.id).second) row.id += "." + share::figures_of(row.code.key).substr(0, 4);
}

} // namespace

MembersView view_of(const ViewContext& context, const PlantGlance& plant, const MembersState& state)
{
    const look::Words& words = *context.words;
    MembersView        view;
    view.heading = heading_of(context, words.say("plant.members"));
    view.title   = words.say("plant.members");
    view.back    = words.say("bar.back");
    view.again   = plant.folder_set ? words.say("plant.look") : "";
    view.looking = plant.looking;
    for (const share::EnrolCode& code : plant.offer.machines)
        view.rows.push_back({"machine." + code.name, look::Symbol::not_done, code.name,
                             words.say("plant.row_waiting", {share::figures_of(code.key)}), code});
    std::vector<MemberRow> gone;
    for (const auto& [dev, machine] : plant.roster->machines())
        (machine.revoked ? gone : view.rows).push_back(machine_row(words, plant, dev, machine));
    for (const auto& [key, person] : plant.roster->persons())
        (person.ended ? gone : view.rows).push_back(person_row(context, plant, key, person));
    view.rows.insert(view.rows.end(), gone.begin(), gone.end());
    tell_apart(view.rows);
    view.main_on    = plant.roster->enrolled();
    view.main_title = words.say("plant.scan");
    view.main_sub   = words.say(view.main_on ? "plant.scan_sub" : "plant.no_key_sub");
    if (!plant.roster->enrolled())
        view.note = words.say("plant.make_key");
    else if (!state.notice.empty())
        view.note = state.notice;
    else if (plant.looking)
        view.note = words.say("plant.looking");
    else if (!plant.trouble.empty())
        view.note = plant.trouble;
    else if (plant.offer.unreadable > 0)
        view.note = words.say("plant.unreadable", {std::to_string(plant.offer.unreadable)});
    else
        view.note = words.say("plant.wait_count", {std::to_string(plant.offer.machines.size())});
    return view;
}

MembersAsk draw(kit::Ui& ui, MembersState& state, const MembersView& view)
{
    using Kind = MembersAsk::Kind;
    MembersAsk ask;
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    kit::MainBar bar{.side = {{"back", {.title = view.back}}},
                     .main = {view.main_title, view.main_sub, view.main_on}};
    if (!view.again.empty()) bar.side.push_back({"look", {.title = view.again, .enabled = !view.looking}});
    const auto tap  = kit::main_bar(ui, bar);
    Rect       body = page_body(ui, true);
    page_note(ui, body, view.note);
    const int         columns = ui.portrait() ? 1 : 2;
    const auto        across  = static_cast<std::size_t>(columns);
    const std::size_t lines   = (view.rows.size() + across - 1) / across;
    const Pages       pages   = pages_of(lines, body.h, kit::kTarget, state.page);
    if (pages.count > 1) draw_pager(ui, body.cut_bottom(kit::kTarget, kit::kGap), pages, state.page);
    const int  shown = std::min(pages.per_page, static_cast<int>(lines));
    const Rect grid{body.x, body.y, body.w,
                    static_cast<float>(shown) * (kit::kTarget + kit::kGap) - kit::kGap};
    for (int i = 0; i < shown * columns; ++i) {
        const std::size_t at = pages.first() * across + static_cast<std::size_t>(i);
        if (at >= view.rows.size()) break;
        const MemberRow& row = view.rows[at];
        if (kit::list_row(ui, row.id, look::cell(grid, {columns, shown, kit::kGap}, i),
                          {.symbol = row.symbol, .title = row.title, .second = row.second}))
            ask = {Kind::open, row.code};
    }
    if (tap.is("back")) ask.kind = Kind::back;
    if (tap.is("look")) ask.kind = Kind::look;
    if (tap.main) ask.kind = Kind::scan;
    if (ask.kind != Kind::nothing) state.notice.clear();
    return ask;
}

} // namespace field::screens
