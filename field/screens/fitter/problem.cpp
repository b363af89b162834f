#include "field/screens/fitter/problem.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"

#include <algorithm>
#include <array>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

/// Reasons any step may stop for; the nut's steps add their own in front.
constexpr std::array kProblemReasons{"part_damaged", "wrong_part", "no_tool",     "tool_unfit",
                                     "cannot_reach", "not_safe",   "called_away", "reading_doubtful"};
constexpr std::array<std::string_view, 4> kNutReasons{"overturned", "zero_doubtful", "tab_missed",
                                                      "does_not_grip"};

std::size_t photos_of_problem(const engine::JobState& job, const engine::StepRef& at)
{
    const auto* status = job.progress.step(at);
    if (status == nullptr) return 0;
    const auto& photos = status->facts.photos;
    return static_cast<std::size_t>(std::count_if(
        photos.begin(), photos.end(), [](const auto& photo) { return photo.ask == engine::kProblemPhoto; }));
}

} // namespace

ProblemView view_of(const ViewContext& context, const engine::JobState& job, const ProblemState& state)
{
    const look::Words&      words   = *context.words;
    const engine::PlanStep* planned = job.plan.find(state.at);
    ProblemView             view;
    view.heading     = heading_of(context, place_title(context, job.plan, state.at.pos));
    view.title       = words.say("problem.title");
    view.instruction = words.say("problem.do", {step_words(context, job.plan, state.at, "next")});
    view.back        = words.say("bar.back");
    if (planned == nullptr) return view;
    if (planned->step.attempt && !state.at.pos.empty())
        for (const std::string_view reason : kNutReasons)
            view.reasons.emplace_back(reason, words.say("reason." + std::string(reason)));
    for (const char* reason : kProblemReasons) {
        if (view.reasons.size() >= kProblemReasons.size()) break;
        view.reasons.emplace_back(reason, words.say("reason." + std::string(reason)));
    }
    view.ends.emplace_back(ProblemEnd::ask, words.say("problem.ask"));
    if (planned->step.skippable) view.ends.emplace_back(ProblemEnd::skip, words.say("problem.skip"));
    if (planned->step.attempt && !state.at.pos.empty())
        view.ends.emplace_back(ProblemEnd::back_to_zero, words.say("problem.zero"));
    view.main_on     = !state.reason.empty();
    view.ends_line   = words.say("problem.then");
    view.photo       = words.say("bar.photo");
    const auto taken = photos_of_problem(job, state.at);
    view.photo_sub   = taken == 0 ? std::string{} : words.say("problem.taken", {std::to_string(taken)});
    if (view.main_on) view.picked = words.say("reason." + state.reason);
    switch (state.end) {
    case ProblemEnd::ask:
        view.main_title = words.say("problem.main_ask"), view.main_sub = words.say("problem.main_ask_sub");
        break;
    case ProblemEnd::skip:
        view.main_title = words.say("problem.main_skip"), view.main_sub = words.say("problem.main_skip_sub");
        break;
    case ProblemEnd::back_to_zero:
        view.main_title = words.say("problem.main_zero", {state.at.pos}),
        view.main_sub   = words.say("problem.main_zero_sub");
        break;
    }
    if (!view.main_on) view.main_sub = words.say("problem.reason_first");
    return view;
}

namespace {

/// First stage: why.
void draw_reasons(kit::Ui& ui, const Rect& box, ProblemState& state, const ProblemView& view)
{
    const int  columns = ui.portrait() ? 2 : 4;
    const int  rows    = (static_cast<int>(view.reasons.size()) + columns - 1) / columns;
    const Rect grid{box.x, box.y, box.w,
                    static_cast<float>(rows) * kit::kTarget + static_cast<float>(rows - 1) * kit::kGap};
    for (std::size_t i = 0; i < view.reasons.size(); ++i) {
        const auto& [key, words] = view.reasons[i];
        if (!kit::button(ui, "reason." + key,
                         look::cell(grid, {columns, rows, kit::kGap}, static_cast<int>(i)),
                         {.title = words,
                          .kind  = key == state.reason ? kit::ButtonKind::chosen : kit::ButtonKind::quiet,
                          .role  = Role::label}))
            continue;
        state.reason = key;
        // A nut that has to be loosened has no other honest end.
        if (std::find(kNutReasons.begin(), kNutReasons.end(), key) != kNutReasons.end())
            state.end = ProblemEnd::back_to_zero;
    }
}

/// Second stage, where the step can end in more than one way: how it goes on.
void draw_ends(kit::Ui& ui, const Rect& box, ProblemState& state, const ProblemView& view)
{
    const int  count = static_cast<int>(view.ends.size());
    const int  rows  = ui.portrait() ? count : 1;
    const Rect grid{box.x, box.y, box.w,
                    static_cast<float>(rows) * kit::kTarget + static_cast<float>(rows - 1) * kit::kGap};
    for (int i = 0; i < count; ++i) {
        const auto& [end, words] = view.ends[static_cast<std::size_t>(i)];
        if (kit::button(ui, "end." + std::to_string(static_cast<int>(end)),
                        look::cell(grid, {count / rows, rows, kit::kGap}, i),
                        {.title = words,
                         .kind  = end == state.end ? kit::ButtonKind::chosen : kit::ButtonKind::quiet}))
            state.end = end;
    }
}

} // namespace

ProblemAsk draw(kit::Ui& ui, ProblemState& state, const ProblemView& view)
{
    using Kind = ProblemAsk::Kind;
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const auto tap = kit::main_bar(ui, {.side = {{"back", {.title = view.back}},
                                                 {"photo", {.title = view.photo, .sub = view.photo_sub}}},
                                        .main = {view.main_title, view.main_sub, view.main_on}});
    if (tap.is("photo")) return {Kind::camera};
    Rect       body = page_body(ui, true);
    const bool ends = view.ends.size() > 1 && !state.reason.empty();
    page_title(ui, body, ends ? view.picked : view.title);
    if (state.refusal.empty())
        page_line(ui, body, ends ? view.ends_line : view.instruction);
    else
        page_refusal(ui, body, state.refusal);
    if (ends)
        draw_ends(ui, body, state, view);
    else
        draw_reasons(ui, body, state, view);
    if (!tap.is("back")) return {tap.main ? Kind::report : Kind::nothing};
    if (!ends) return {Kind::back};
    state.reason.clear(), state.refusal.clear();
    state.end = ProblemEnd::ask;
    return {Kind::nothing};
}

} // namespace field::screens
