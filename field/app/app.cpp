#include "field/app/app.h"

#include "engine/base/memory_reserve.h"

namespace field::app {

using namespace std::chrono_literals;

namespace {
constexpr std::int64_t kMinute_ms = 60'000;
}

App::App(Wiring wiring)
    : wiring_(std::move(wiring)), photos_(*wiring_.shell),
      sender_(wiring_.bench->book(), *wiring_.clock, wiring_.shared),
      plant_(wiring_.bench->book(), *wiring_.clock, {.shared = wiring_.shared, .key = wiring_.plant_key})
{
    theme_ = look::make_theme(wiring_.settings.light, wiring_.settings.hand, wiring_.shell->size().px_per_mm);
    last_touch_mono_ = wiring_.clock->now().mono_ms;
    sender_.on_news([shell = wiring_.shell] { shell->wake(); });
    plant_.on_news([shell = wiring_.shell] { shell->wake(); });
    if (wiring_.settings.badge.empty()) way_.go(Place::people);
}

screens::ViewContext App::context() const
{
    screens::ViewContext context;
    context.words     = wiring_.words;
    context.catalogue = &wiring_.bench->book().catalogue();
    context.now       = wiring_.clock->now();
    context.units     = wiring_.settings.units;
    context.to_send   = sender_.to_send();
    context.badge     = wiring_.settings.badge;
    context.space     = space();
    context.no_memory = engine::memory_is_short();
    context.today     = engine::iso_time(context.now.wall_ms, context.now.tz_min).substr(0, 10);
    return context;
}

const engine::Space& App::space() const
{
    constexpr std::int64_t kAskedEvery_ms = 5'000;
    const std::int64_t     now            = wiring_.clock->now().mono_ms;
    if (now < space_until_mono_) return space_;
    space_            = wiring_.bench->book().space();
    space_until_mono_ = now + kAskedEvery_ms;
    return space_;
}

App::JobPtr App::job() const
{
    auto state = wiring_.bench->job(job_number_);
    return state ? *state : nullptr;
}

/// Nobody touched the glass for a while at a step: the next look is at the machine. A run-in is watched from
/// here, so it stays.
void App::watch_absence(kit::Ui& ui)
{
    const std::int64_t now = wiring_.clock->now().mono_ms;
    if (now - last_touch_mono_ > kAwayMs && way_.here() == Place::step) {
        const auto  in_hand = job();
        const auto* planned = in_hand == nullptr ? nullptr : in_hand->plan.find(memory_.step.at);
        if (planned != nullptr && planned->step.screen != "run_in") {
            away_since_ms_   = wiring_.clock->now().wall_ms - (now - last_touch_mono_);
            last_touch_mono_ = now;
            way_.go(Place::coming_back);
            // A finger that wakes the tablet must not answer a question not read yet.
            if (ui.touched()) ui.ignore_touch();
        }
    }
    if (ui.touched()) last_touch_mono_ = now;
}

/// What every screen says of the plant; nothing of an enrolled one.
std::string App::plant_note() const
{
    const engine::Book& book = wiring_.bench->book();
    if (book.plant_mark().invented) return wiring_.words->say("strip.invented");
    return book.roster().enrolled() ? std::string() : wiring_.words->say("strip.not_enrolled");
}

void App::frame()
{
    sender_.absorb();
    plant_.absorb();
    wiring_.shell->begin_frame();
    {
        kit::Ui ui({.theme  = theme_,
                    .type   = wiring_.shell->type(),
                    .screen = wiring_.shell->size(),
                    .ledger = ledger_,
                    .typed  = wiring_.shell->take_text(),
                    .words  = wiring_.words,
                    .note   = plant_note()});
        watch_absence(ui);
        draw_place(ui);
    }
    wiring_.shell->present(theme_.palette.paper);
}

void App::draw_place(kit::Ui& ui)
{
    switch (way_.here()) {
    case Place::today:
        return draw_today(ui);
    case Place::sheet:
        return draw_sheet(ui);
    case Place::step:
        return draw_step_place(ui);
    case Place::camera:
        return draw_camera(ui);
    case Place::problem:
        return draw_problem(ui);
    case Place::release:
        return draw_release(ui);
    case Place::coming_back:
        return draw_coming_back(ui);
    case Place::people:
        return draw_people(ui);
    case Place::send_box:
        return draw_send_box(ui);
    case Place::settings:
        return draw_settings(ui);
    case Place::kit:
        return draw_kit(ui);
    case Place::record:
        return draw_record(ui);
    case Place::correct:
        return draw_correct(ui);
    case Place::this_tablet:
        return draw_this_tablet(ui);
    case Place::my_key:
        return draw_my_key(ui);
    case Place::members:
        return draw_members(ui);
    case Place::member:
        return draw_member(ui);
    case Place::plant_sign:
        return draw_plant_sign(ui);
    }
}

void App::rest() const
{
    wiring_.bench->book().write_own_lines();
}

std::chrono::milliseconds App::patience() const
{
    if (way_.here() == Place::camera && memory_.camera.taken.empty()) return 33ms; // the picture is live
    const std::int64_t into_minute_ms =
        ((wiring_.clock->now().wall_ms % kMinute_ms) + kMinute_ms) % kMinute_ms;
    return std::chrono::milliseconds(kMinute_ms - into_minute_ms); // the clock in the strip shows minutes
}

} // namespace field::app
