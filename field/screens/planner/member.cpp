#include "field/screens/planner/member.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"

#include <algorithm>
#include <array>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr std::array kMachineReasons{"lost", "stolen", "broken", "handed_back", "key_copied"};
constexpr std::array kPersonReasons{"left_plant", "pin_known", "new_key", "key_copied"};
constexpr std::array kMachineRoles{"recorder", "supervisor", "planner", "auditor"};
constexpr std::array kPersonRoles{"fitter", "supervisor", "auditor", "planner"};

/// A reason is kept as its key when it was picked here, as its text when it came by command.
std::string reason_words(const look::Words& words, const std::string& reason)
{
    return words.has("reason." + reason) ? words.say("reason." + reason) : reason;
}

template <class Keys>
void offer(MemberView& view, const look::Words& words, const Keys& keys, const char* table)
{
    for (const char* key : keys)
        view.answers.emplace_back(key, words.say(std::string(table) + "." + key));
}

/// "T-07", "badge 205": in the middle of a sentence.
std::string called(const ViewContext& context, const MemberState& state)
{
    return state.code.person ? context.words->say("today.badge", {state.code.name}) : state.code.name;
}

bool name_is_taken(const PlantGlance& plant, const share::EnrolCode& code)
{
    return std::any_of(
        plant.roster->machines().begin(), plant.roster->machines().end(),
        [&](const auto& one) { return one.first != code.key && one.second.name == code.name; });
}

void tell_enrol(MemberView& view, const ViewContext& context, const PlantGlance& plant,
                const MemberState& state)
{
    const look::Words& words  = *context.words;
    const bool         person = state.code.person;
    view.what                 = MemberView::What::enrol;
    view.same                 = words.say("plant.same");
    view.note                 = words.say(person                             ? "plant.person_figures"
                                          : name_is_taken(plant, state.code) ? "plant.name_taken"
                                                                             : "plant.machine_figures");
    if (person)
        offer(view, words, kPersonRoles, "role");
    else
        offer(view, words, kMachineRoles, "machine_role");
    const std::string role =
        state.role.empty() ? "" : words.say((person ? "role." : "machine_role.") + state.role);
    if (!state.role.empty())
        view.means = words.say((person ? "role_means." : "machine_role_means.") + state.role);
    view.main_on    = state.same && !state.role.empty();
    view.main_title = state.role.empty() ? words.say("plant.enrol", {called(context, state)})
                                         : words.say("plant.enrol_as", {called(context, state), role});
    view.main_sub   = words.say(!state.same          ? "plant.same_first"
                                : state.role.empty() ? "plant.role_first"
                                                     : "plant.sign_next");
}

void tell_revoke(MemberView& view, const ViewContext& context, const PlantGlance& plant,
                 const MemberState& state)
{
    const look::Words& words  = *context.words;
    const bool         person = state.code.person;
    view.what                 = MemberView::What::revoke;
    const auto last           = plant.last.find(state.code.key);
    const auto entries        = last == plant.last.end() ? std::uint64_t{0} : last->second;
    view.note                 = person         ? words.say("plant.end_means")
                                : entries == 0 ? words.say("plant.revoke_unknown")
                                               : words.say("plant.revoke_means", {std::to_string(entries)});
    if (person)
        offer(view, words, kPersonReasons, "reason");
    else
        offer(view, words, kMachineReasons, "reason");
    view.main_on    = !state.reason.empty();
    view.main_title = words.say(person ? "plant.end" : "plant.revoke", {called(context, state)});
    view.main_sub   = words.say(state.reason.empty() ? "plant.reason_first" : "plant.sign_next");
}

void tell_read(MemberView& view, const ViewContext& context, const std::string& note)
{
    view.what       = MemberView::What::read;
    view.note       = note;
    view.main_on    = false;
    view.main_title = context.words->say("plant.nothing_to_do");
    view.main_sub   = context.words->say("plant.list_keeps");
}

void tell_listed_machine(MemberView& view, const ViewContext& context, const PlantGlance& plant,
                         const MemberState& state)
{
    const auto& machine = plant.roster->machines().at(state.code.key);
    if (machine.revoked)
        tell_read(
            view, context,
            context.words->say("plant.was_revoked", {reason_words(*context.words, machine.revoked->reason),
                                                     std::to_string(machine.revoked->last_seq)}));
    else if (state.code.key == plant.own.key)
        tell_read(view, context, context.words->say("plant.not_itself"));
    else
        tell_revoke(view, context, plant, state);
}

} // namespace

MemberView view_of(const ViewContext& context, const PlantGlance& plant, const MemberState& state)
{
    const look::Words& words = *context.words;
    MemberView         view;
    view.heading      = heading_of(context, words.say("plant.members"));
    view.back         = words.say("bar.back");
    view.title        = state.code.person ? words.say("plant.badge", {state.code.name}) : state.code.name;
    view.figures      = share::figures_of(state.code.key);
    const auto person = plant.roster->persons().find(state.code.key);
    const bool listed = state.code.person ? person != plant.roster->persons().end()
                                          : plant.roster->machines().count(state.code.key) > 0;
    if (listed && !state.code.person)
        tell_listed_machine(view, context, plant, state);
    else if (!listed)
        tell_enrol(view, context, plant, state);
    else if (person->second.ended)
        tell_read(view, context, words.say("plant.was_ended", {reason_words(words, person->second.reason)}));
    else
        tell_revoke(view, context, plant, state);
    return view;
}

namespace {

void draw_answers(kit::Ui& ui, Rect box, MemberState& state, const MemberView& view)
{
    const bool   enrol   = view.what == MemberView::What::enrol;
    std::string& chosen  = enrol ? state.role : state.reason;
    const int    count   = static_cast<int>(view.answers.size());
    const int    columns = ui.portrait() ? 2 : count > 4 ? 3 : 4;
    const int    rows    = (count + columns - 1) / columns;
    const Rect   grid{box.x, box.y, box.w, static_cast<float>(rows) * (kit::kTarget + kit::kGap) - kit::kGap};
    for (int i = 0; i < count; ++i) {
        const auto& [key, answer] = view.answers[static_cast<std::size_t>(i)];
        if (kit::button(
                ui, (enrol ? "role." : "reason.") + key, look::cell(grid, {columns, rows, kit::kGap}, i),
                {.title = answer, .kind = key == chosen ? kit::ButtonKind::chosen : kit::ButtonKind::quiet}))
            chosen = key, state.refusal.clear();
    }
    box.cut_top(grid.h, kAfterTitle_mm);
    if (!view.means.empty()) page_note(ui, box, view.means);
}

} // namespace

MemberAsk draw(kit::Ui& ui, MemberState& state, const MemberView& view)
{
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const auto tap  = kit::main_bar(ui, {.side = {{"back", {.title = view.back}}},
                                         .main = {view.main_title, view.main_sub, view.main_on}});
    Rect       body = page_body(ui, true);
    page_title(ui, body, view.title);
    canvas.text({body.x, body.y}, view.figures,
                {Role::value, ui.palette().ink, look::Across::left, look::Upright::top});
    body.cut_top(canvas.cap_mm(Role::value), kAfterTitle_mm);
    if (state.refusal.empty())
        page_note(ui, body, view.note);
    else
        page_refusal(ui, body, state.refusal);
    if (view.what == MemberView::What::enrol) {
        const Rect box = body.cut_top(kit::kTarget, kit::kGap);
        if (kit::button(ui, "same", box,
                        {.title  = view.same,
                         .symbol = state.same ? look::Symbol::inside : look::Symbol::not_done,
                         .kind   = state.same ? kit::ButtonKind::chosen : kit::ButtonKind::quiet}))
            state.same = !state.same;
    }
    if (view.what != MemberView::What::read) draw_answers(ui, body, state, view);
    if (tap.is("back")) return MemberAsk::back;
    return tap.main ? MemberAsk::sign : MemberAsk::nothing;
}

} // namespace field::screens
