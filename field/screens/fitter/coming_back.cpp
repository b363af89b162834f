#include "field/screens/fitter/coming_back.h"

#include "field/kit/button.h"
#include "field/kit/main_bar.h"
#include "field/screens/page.h"

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
        view.next_title = with_place(*next, step_words(context, job.plan, *next, "title"));
        view.next_line  = step_words(context, job.plan, *next, "do");
        view.main_title = words.say("back.carry_on");
        view.main_sub   = words.say("main.next") + " " + step_words(context, job.plan, *next, "next");
    }
    return view;
}

namespace {

struct Part {
    const std::string& head;
    const std::string& name;
    const std::string& line;
};

/// Words of one half; returns the room left for its picture: below them, or beside them on an upright glass.
Rect draw_part(kit::Ui& ui, const Rect& box, const Part& part)
{
    look::Canvas& canvas = ui.canvas();
    Rect          rest   = box;
    Rect          words  = ui.portrait() ? rest.cut_left(box.w * 0.47F, kit::kGap) : box;
    const float   top    = words.y;
    const float   cap    = canvas.cap_mm(Role::label);
    canvas.text({words.x, words.y + cap}, part.head, {Role::label, ui.palette().soft});
    words.cut_top(cap + 3.5F);
    const auto write = [&](const std::string& text, Role role, look::Colour colour) {
        if (text.empty()) return;
        words.cut_top(
            canvas.text_wrapped(words, text, {role, colour, look::Across::left, look::Upright::top}) + 3.0F);
    };
    write(part.name, Role::instruction_bold, ui.palette().ink);
    write(part.line, Role::label, ui.palette().soft);
    if (!ui.portrait()) rest.cut_top(words.y - top + 1.0F);
    return rest;
}

constexpr float kSmallestPicture_mm = 15.0F;

} // namespace

ComingBackAsk draw(kit::Ui& ui, const ComingBackView& view, look::Texture photo, const StepPicture& picture)
{
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const auto tap  = kit::main_bar(ui, {.side = {{"back", {.title = view.back}},
                                                  {"changed", {.title = view.changed, .role = Role::label}}},
                                         .main = {view.main_title, view.main_sub, !view.main_title.empty()}});
    Rect       body = page_body(ui, true);
    canvas.text({body.right(), body.y + canvas.cap_mm(Role::title)}, view.away,
                {Role::instruction, ui.palette().soft, look::Across::right});
    page_title(ui, body, view.title);
    const float question = canvas.wrapped_height_mm(body.w, view.question, Role::instruction_bold);
    canvas.text_wrapped(body.cut_bottom(question + 1.0F, 3.0F), view.question,
                        {Role::instruction_bold, ui.palette().ink, look::Across::left, look::Upright::top});
    const look::Grid halves = ui.portrait() ? look::Grid{1, 2, kit::kGap} : look::Grid{2, 1, 4.0F};
    const Rect       last =
        draw_part(ui, look::cell(body, halves, 0), {view.last_head, view.last_title, view.last_line});
    if (photo && last.h > kSmallestPicture_mm)
        canvas.image(photo, last), canvas.frame(last, {ui.palette().steel_edge, 0.35F}, look::kCorner);
    const Rect next =
        draw_part(ui, look::cell(body, halves, 1), {view.next_head, view.next_title, view.next_line});
    if (picture && next.h > kSmallestPicture_mm) picture(canvas, next);
    if (tap.is("back")) return ComingBackAsk::back;
    if (tap.is("changed")) return ComingBackAsk::changed;
    return tap.main ? ComingBackAsk::carry_on : ComingBackAsk::nothing;
}

} // namespace field::screens
