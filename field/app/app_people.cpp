#include "field/app/app.h"
#include "field/app/settings_file.h"

namespace field::app {

void App::draw_problem(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return way_.home();
    using Kind                   = screens::ProblemAsk::Kind;
    screens::ProblemState& state = memory_.problem;
    const auto             ask   = draw(ui, state, view_of(context(), *in_hand, state));
    if (ask.kind == Kind::back) return way_.back();
    if (ask.kind == Kind::camera) return open_camera(engine::kProblemPhoto, false);
    if (ask.kind != Kind::report) return;
    if (state.end == screens::ProblemEnd::back_to_zero) {
        if (!carry_out(engine::BackOff{state.at.pos, state.reason}, state.refusal)) return;
        return carry_on();
    }
    const bool skip = state.end == screens::ProblemEnd::skip;
    if (carry_out(engine::ReportProblem{state.at, state.reason, skip}, state.refusal)) way_.back();
}

void App::open_release()
{
    memory_.release    = {};
    memory_.release.at = memory_.step.at;
    way_.go(Place::release);
}

void App::draw_release(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return way_.home();
    screens::ReleaseState& state = memory_.release;
    const auto             ask   = draw(ui, state, view_of(context(), *in_hand, state));
    if (ask.kind == screens::ReleaseAsk::Kind::back) return way_.back();
    if (ask.kind != screens::ReleaseAsk::Kind::sign || !state.accept) return;
    if (!*state.accept) state.reason = "measure_again";
    // The decision is the supervisor's act, not that of the badge that holds the tablet.
    const auto kept = wiring_.bench->carry_out(
        job_number_, state.badge, engine::Decide{state.at, *state.accept, state.reason, state.pin});
    state.pin.clear();
    if (!kept) {
        state.refusal = kept.error().message;
        return;
    }
    sender_.news_to_send();
    prepare_step(state.at);
    way_.back();
}

void App::draw_people(kit::Ui& ui)
{
    screens::PeopleState& state = memory_.people;
    const auto            ask   = draw(ui, state, view_of(context(), state));
    if (ask == screens::PeopleAsk::back) way_.back();
    if (ask != screens::PeopleAsk::take || state.badge.empty()) return;
    // In a job that is in work the hand over is part of its record.
    const auto in_hand = job_number_.empty() ? nullptr : job();
    if (in_hand != nullptr && in_hand->progress.started && !in_hand->progress.closed &&
        !wiring_.settings.badge.empty() && wiring_.settings.badge != state.badge) {
        std::string refusal;
        (void)carry_out(engine::HandOver{state.badge}, refusal);
    }
    wiring_.settings.badge = state.badge;
    (void)save_settings(wiring_.settings_file, wiring_.settings);
    way_.home();
}

void App::draw_send_box(kit::Ui& ui)
{
    const auto ask = draw(ui, memory_.send_box, view_of(context(), sender_.lines(), sender_.glance()));
    if (ask == screens::SendBoxAsk::back) way_.back();
    if (ask == screens::SendBoxAsk::send) sender_.send_now();
    if (ask == screens::SendBoxAsk::cancel) sender_.cancel();
}

void App::draw_settings(kit::Ui& ui)
{
    const auto ask = draw(ui, memory_.settings, context(), wiring_.settings);
    if (ask.kind == screens::SettingsAsk::Kind::back) return way_.back();
    if (ask.kind == screens::SettingsAsk::Kind::plant) return open_this_tablet();
    if (ask.kind != screens::SettingsAsk::Kind::changed) return;
    if (ask.settings.px_per_mm != wiring_.settings.px_per_mm && ask.settings.px_per_mm > 0)
        (void)wiring_.shell->set_scale(ask.settings.px_per_mm);
    wiring_.settings = ask.settings;
    theme_ = look::make_theme(wiring_.settings.light, wiring_.settings.hand, wiring_.shell->size().px_per_mm);
    (void)save_settings(wiring_.settings_file, wiring_.settings);
}

} // namespace field::app
