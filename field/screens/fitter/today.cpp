#include "field/screens/fitter/today.h"

#include "field/kit/list_row.h"
#include "field/kit/main_bar.h"
#include "field/screens/pager.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

std::string kind_words(const ViewContext& context, const engine::JobState& job)
{
    const look::Words& words = *context.words;
    std::string        text;
    switch (job.plan.arrangement) {
    case engine::Arrangement::single:
        text = words.say("arrangement.single");
        break;
    case engine::Arrangement::fixed_and_expansion:
        text = words.say("arrangement.fixed_and_expansion");
        break;
    case engine::Arrangement::two_fixed_pillow_blocks:
        text = words.say("arrangement.two_pillow_blocks");
        break;
    case engine::Arrangement::two_flanges:
        text = words.say("arrangement.two_flanges");
        break;
    case engine::Arrangement::line:
        text = words.say("arrangement.line", {std::to_string(job.plan.job.positions.size())});
        break;
    }
    if (const auto* unit = job.plan.unit(job.plan.job.positions.front().letter)) {
        const bool inch = context.units == Units::inch;
        text +=
            ", " + (inch ? engine::inches_as_fraction(unit->shaft) + " in"
                         : engine::fixed(unit->shaft.value,
                                         unit->shaft.value == static_cast<int>(unit->shaft.value) ? 0 : 2) +
                               " mm");
    }
    return text;
}

std::string step_line(const ViewContext& context, const engine::JobState& job, const engine::StepRef& at)
{
    int number = 0, all = 0;
    for (const engine::StepStatus& status : job.progress.steps) {
        if (!at.pos.empty() && !status.ref.pos.empty() && status.ref.pos != at.pos) continue;
        ++all;
        if (status.ref == at) number = all;
    }
    const std::string step = step_words(context, job.plan, at, "next");
    if (at.pos.empty())
        return context.words->say("today.step_of_job", {std::to_string(number), std::to_string(all), step});
    return context.words->say("today.step", {at.pos, std::to_string(number), std::to_string(all), step});
}

JobRow row_of(const ViewContext& context, const JobGlance& glance)
{
    const look::Words& words = *context.words;
    JobRow row{.number = glance.job.number, .title = glance.job.title, .action = words.say("today.open")};
    if (glance.state == nullptr) {
        row.line = glance.trouble;
        row.mark = JobMark::held;
        return row;
    }
    const engine::JobState& job      = *glance.state;
    const auto&             progress = job.progress;
    const auto              next     = step_to_go_on(progress);
    if (!progress.started) {
        row.line = kind_words(context, job) + " · " + words.say("today.not_started");
        return row;
    }
    if (progress.closed) {
        row.mark   = JobMark::closed;
        row.action = words.say("today.read");
        row.line =
            words.say("today.closed", {engine::hour_minute(progress.last_wall_ms, context.now.tz_min)});
        if (next)
            row.line += " · " + words.say("today.then") + " " + step_words(context, job.plan, *next, "next");
        return row;
    }
    if (!next) {
        row.mark = JobMark::waiting;
        row.line = words.say("today.waiting");
        return row;
    }
    const auto* status = progress.step(*next);
    row.mark           = status->state == engine::StepState::held ? JobMark::held : JobMark::carry_on;
    row.line           = step_line(context, job, *next);
    if (row.mark == JobMark::held)
        row.line = (next->pos.empty() ? "" : next->pos + ": ") +
                   words.say("today.held", {step_words(context, job.plan, *next, "next")});
    else
        row.line +=
            " · " + words.say("today.left", {engine::hour_minute(progress.last_wall_ms, context.now.tz_min)});
    return row;
}

int rank(JobMark mark)
{
    switch (mark) {
    case JobMark::carry_on:
        return 0;
    case JobMark::held:
        return 1;
    case JobMark::waiting:
        return 2;
    case JobMark::not_started:
        return 3;
    case JobMark::closed:
        return 4;
    }
    return 5;
}

look::Symbol symbol_of(JobMark mark)
{
    switch (mark) {
    case JobMark::carry_on:
        return look::Symbol::here;
    case JobMark::held:
        return look::Symbol::held;
    case JobMark::closed:
        return look::Symbol::inside;
    default:
        return look::Symbol::not_done;
    }
}

} // namespace

TodayView view_of(const ViewContext& context, const std::vector<JobGlance>& jobs)
{
    TodayView   view;
    std::string title = context.words->say("today.title");
    if (!context.badge.empty()) title += " · " + context.words->say("today.badge", {context.badge});
    view.heading = heading_of(context, std::move(title));
    for (const JobGlance& glance : jobs)
        view.rows.push_back(row_of(context, glance));
    // The job left last is the one to carry on with.
    std::vector<std::pair<std::int64_t, std::size_t>> order;
    for (std::size_t i = 0; i < jobs.size(); ++i)
        order.emplace_back(jobs[i].state ? -jobs[i].state->progress.last_wall_ms : 0, i);
    std::stable_sort(order.begin(), order.end(), [&](const auto& a, const auto& b) {
        const int first = rank(view.rows[a.second].mark), second = rank(view.rows[b.second].mark);
        return first != second ? first < second : a.first < b.first;
    });
    std::vector<JobRow> sorted;
    sorted.reserve(order.size());
    for (const auto& [when, i] : order)
        sorted.push_back(view.rows[i]);
    if (!sorted.empty() && sorted.front().mark == JobMark::carry_on)
        sorted.front().action = context.words->say("today.carry_on");
    view.rows = std::move(sorted);
    if (view.rows.empty()) view.none = context.words->say("today.none");
    view.space    = little_room(context);
    view.full     = no_room(context);
    view.settings = context.words->say("today.settings");
    view.send_box = context.words->say("today.send_box");
    view.people   = context.words->say("today.hand_over");
    view.scan     = context.words->say("today.scan");
    view.scan_sub = context.words->say("today.scan_sub");
    return view;
}

TodayAsk draw(kit::Ui& ui, TodayState& state, const TodayView& view)
{
    using Kind = TodayAsk::Kind;
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const auto tap  = kit::main_bar(ui, {.side = {{"settings", {.title = view.settings, .role = Role::label}},
                                                  {"send_box", {.title = view.send_box, .role = Role::label}},
                                                  {"people", {.title = view.people, .role = Role::label}}},
                                         .main = {view.scan, view.scan_sub, true}});
    Rect       body = ui.areas().body;
    body.y -= 4.0F, body.h += 4.0F; // no steel rule here
    TodayAsk ask;
    if (!view.space.empty())
        body.cut_top(
            ui.canvas().text_wrapped(body, view.space,
                                     {Role::label_bold, view.full ? ui.palette().outside : ui.palette().watch,
                                      look::Across::left, look::Upright::top}) +
            3.0F);
    if (!view.none.empty())
        ui.canvas().text_wrapped(
            body.inset(6.0F), view.none,
            {Role::instruction, ui.palette().soft, look::Across::left, look::Upright::top});
    const float row_mm = kit::kTarget;
    const Pages pages  = pages_of(view.rows.size(), body.h, row_mm, state.page, 2.95F);
    for (std::size_t i = pages.first();
         i < view.rows.size() && i < pages.first() + static_cast<std::size_t>(pages.per_page); ++i) {
        const JobRow& row = view.rows[i];
        const auto    ink =
            row.mark == JobMark::closed
                   ? std::nullopt
                   : std::optional(row.mark == JobMark::carry_on ? ui.palette().act : ui.palette().ink);
        if (kit::list_row(ui, "job." + row.number, body.cut_top(row_mm, 2.95F),
                          {.symbol        = symbol_of(row.mark),
                           .symbol_colour = ink,
                           .title         = row.title,
                           .second        = row.line,
                           .action        = row.action,
                           .first         = i == 0 && row.mark == JobMark::carry_on}))
            ask = {Kind::open, row.number};
    }
    if (pages.count > 1) draw_pager(ui, body.cut_bottom(kit::kTarget), pages, state.page);
    if (tap.is("settings")) ask.kind = Kind::settings;
    if (tap.is("send_box")) ask.kind = Kind::send_box;
    if (tap.is("people")) ask.kind = Kind::people;
    if (tap.main) ask.kind = Kind::scan;
    return ask;
}

} // namespace field::screens
