#include "field/screens/fitter/coming_back.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/kit/photo_slot.h"

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

std::string away_words(const ViewContext& context, std::int64_t away_ms)
{
    const std::int64_t minutes = away_ms / 60'000;
    if (minutes < 1) return context.words->say("back.just_now");
    if (minutes < 120) return context.words->say("back.away_minutes", {std::to_string(minutes)});
    const std::int64_t hours = minutes / 60;
    if (hours < 48) return context.words->say("back.away_hours", {std::to_string(hours)});
    return context.words->say("back.away_days", {std::to_string(hours / 24)});
}

/// The newest photo of the job, whatever step it belongs to.
std::string newest_photo(const engine::JobState& job)
{
    std::string  hash;
    std::int64_t when = 0;
    for (const engine::StepStatus& status : job.progress.steps)
        for (const engine::PhotoFact& photo : status.facts.photos)
            if (photo.at.wall_ms >= when) when = photo.at.wall_ms, hash = photo.sha256;
    return hash;
}

std::string with_place(const engine::StepRef& at, const std::string& words)
{
    return at.pos.empty() ? words : at.pos + " · " + words;
}

} // namespace

ComingBackView view_of_return(const ViewContext& context, const engine::JobState& job, std::int64_t away_ms)
{
    const look::Words& words = *context.words;
    ComingBackView     view;
    view.heading   = heading_of(context, job.plan.job.title);
    view.away      = away_words(context, away_ms);
    view.title     = words.say("back.title");
    view.question  = words.say("back.question");
    view.changed   = words.say("back.changed");
    view.back      = words.say("bar.back");
    view.last_head = words.say("back.last");
    view.next_head = words.say("back.next");
    view.photo     = newest_photo(job);
    if (const auto& last = job.progress.last_done) {
        view.last_title = with_place(*last, step_words(context, job.plan, *last, "short"));
        if (const auto* status = job.progress.step(*last); status != nullptr && status->facts.done)
            view.last_line = words.say("today.badge", {status->facts.done->actor}) + ", " +
                             engine::hour_minute(status->facts.done->wall_ms, status->facts.done->tz_min);
    } else {
        view.last_title = words.say("back.nothing_done");
    }
    if (const auto next = step_to_go_on(job.progress)) {
        view.next_title = with_place(*next, step_words(context, job.plan, *next, "short"));
        view.next_line  = step_words(context, job.plan, *next, "do");
        view.main_title = words.say("back.carry_on");
        view.main_sub   = words.say("main.next") + " " + step_words(context, job.plan, *next, "next");
    }
    return view;
}

ComingBackAsk draw(kit::Ui& ui, const ComingBackView& view, look::Texture photo)
{
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const auto tap  = kit::main_bar(ui, {.side = {{"back", {.title = view.back}},
                                                  {"changed", {.title = view.changed, .role = Role::label}}},
                                         .main = {view.main_title, view.main_sub, !view.main_title.empty()}});
    Rect       body = ui.areas().body;
    body.y -= 5.0F, body.h += 5.0F;
    const float title = canvas.text_wrapped(
        body, view.title, {Role::title, ui.palette().ink, look::Across::left, look::Upright::top});
    canvas.text({body.right(), body.y + canvas.cap_mm(Role::title)}, view.away,
                {Role::instruction, ui.palette().soft, look::Across::right});
    body.cut_top(title + 4.0F);
    const float question = canvas.wrapped_height_mm(body.w, view.question, Role::instruction_bold);
    canvas.text_wrapped(body.cut_bottom(question + 1.0F, 2.0F), view.question,
                        {Role::instruction_bold, ui.palette().ink, look::Across::left, look::Upright::top});
    const Rect left =
        ui.portrait() ? look::cell(body, {1, 2, kit::kGap}, 0) : look::cell(body, {2, 1, 4.0F}, 0);
    const Rect right =
        ui.portrait() ? look::cell(body, {1, 2, kit::kGap}, 1) : look::cell(body, {2, 1, 4.0F}, 1);
    const auto part = [&](Rect box, const std::string& head, const std::string& name,
                          const std::string& line) {
        const float cap = canvas.cap_mm(Role::label);
        canvas.text({box.x, box.y + cap}, head, {Role::label, ui.palette().soft});
        box.cut_top(cap + 3.0F);
        box.cut_top(canvas.text_wrapped(
                        box, name,
                        {Role::instruction_bold, ui.palette().ink, look::Across::left, look::Upright::top}) +
                    2.0F);
        if (!line.empty())
            box.cut_top(
                canvas.text_wrapped(
                    box, line, {Role::label, ui.palette().soft, look::Across::left, look::Upright::top}) +
                2.0F);
        return box;
    };
    const Rect rest = part(left, view.last_head, view.last_title, view.last_line);
    if (photo && rest.h > 15.0F)
        canvas.image(photo, rest), canvas.frame(rest, {ui.palette().steel_edge, 0.35F}, look::kCorner);
    (void)part(right, view.next_head, view.next_title, view.next_line);
    if (tap.is("back")) return ComingBackAsk::back;
    if (tap.is("changed")) return ComingBackAsk::changed;
    return tap.main ? ComingBackAsk::carry_on : ComingBackAsk::nothing;
}

} // namespace field::screens
