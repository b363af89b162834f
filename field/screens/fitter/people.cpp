#include "field/screens/fitter/people.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"
#include "field/screens/pager.h"

#include <algorithm>

namespace field::screens {

using look::Rect;

PeopleView view_of(const ViewContext& context, const PeopleState& state)
{
    const look::Words& words = *context.words;
    PeopleView         view;
    const bool         first = context.badge.empty();
    view.heading             = heading_of(context, first ? words.say("people.place")
                                                         : words.say("today.title") + " · " +
                                                   words.say("today.badge", {context.badge}));
    view.title               = words.say(first ? "people.who" : "people.hand_over");
    view.instruction         = words.say(first ? "people.who_do" : "people.hand_over_do");
    view.back                = words.say("bar.back");
    view.none                = words.say("people.none");
    view.may_leave           = !first;
    std::vector<const engine::Person*> people;
    for (const auto& [badge, person] : context.catalogue->people)
        people.push_back(&person);
    std::stable_sort(people.begin(), people.end(),
                     [](const auto* a, const auto* b) { return a->role < b->role; });
    for (const engine::Person* person : people)
        if (person->badge != context.badge)
            view.badges.emplace_back(person->badge,
                                     words.say("role." + std::string(engine::name_of(person->role))));
    view.main_on    = !state.badge.empty();
    view.main_title = view.main_on ? words.say(first ? "people.start_as" : "people.hand_to", {state.badge})
                                   : words.say("people.pick");
    view.main_sub =
        words.say(view.main_on ? first ? "people.start_sub" : "people.hand_sub" : "people.pick_sub");
    return view;
}

PeopleAsk draw(kit::Ui& ui, PeopleState& state, const PeopleView& view)
{
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    kit::MainBar bar{.side = {}, .main = {view.main_title, view.main_sub, view.main_on}};
    if (view.may_leave) bar.side.push_back({"back", {.title = view.back}});
    const auto tap  = kit::main_bar(ui, bar);
    Rect       body = page_body(ui, view.may_leave);
    page_title(ui, body, view.title);
    page_line(ui, body, view.badges.empty() ? view.none : view.instruction);
    const int         columns = ui.portrait() ? 2 : 4;
    const std::size_t rows =
        (view.badges.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
    const float tile_mm = 22.0F;
    const Pages pages   = pages_of(rows, body.h, tile_mm, state.page);
    if (pages.count > 1) draw_pager(ui, body.cut_bottom(kit::kTarget, kit::kGap), pages, state.page);
    const int  shown = std::min(pages.per_page, static_cast<int>(rows));
    const Rect grid{body.x, body.y, body.w, static_cast<float>(shown) * (tile_mm + kit::kGap) - kit::kGap};
    for (int i = 0; i < shown * columns; ++i) {
        const std::size_t at =
            pages.first() * static_cast<std::size_t>(columns) + static_cast<std::size_t>(i);
        if (at >= view.badges.size()) break;
        const auto& [badge, role] = view.badges[at];
        if (kit::button(ui, "badge." + badge, look::cell(grid, {columns, shown, kit::kGap}, i),
                        {.title = badge,
                         .sub   = role,
                         .kind  = badge == state.badge ? kit::ButtonKind::chosen : kit::ButtonKind::quiet}))
            state.badge = badge;
    }
    if (tap.is("back")) return PeopleAsk::back;
    return tap.main ? PeopleAsk::take : PeopleAsk::nothing;
}

} // namespace field::screens
