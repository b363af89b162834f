#include "field/app/app.h"
#include "field/camera/scan.h"

#include <utility>

namespace field::app {

void App::open_camera(const std::string& ask, bool scanning)
{
    memory_.camera          = {};
    memory_.camera.at       = memory_.step.at;
    memory_.camera.ask      = ask;
    memory_.camera.scanning = scanning;
    way_.go(Place::camera);
    if (const auto started = wiring_.camera->start(); !started)
        memory_.camera.trouble = started.error().message;
}

void App::draw_camera(kit::Ui& ui)
{
    screens::CameraState& state = memory_.camera;
    look::Texture         shown{};
    if (!state.taken.empty()) {
        shown = photos_.taken(state.taken);
    } else if (state.trouble.empty() ||
               state.scanning) { // a code that does not fit may be followed by one that does
        if (const auto preview = wiring_.camera->latest())
            shown = photos_.live(preview->picture, preview->sequence);
        if (state.scanning) scan_frame(ui);
        if (way_.here() != Place::camera) return draw_place(ui); // what the code opened shows at once
    }
    const auto in_hand = state.scanning ? nullptr : job();
    const auto ask     = draw(ui, view_of(context(), in_hand.get(), state), shown);
    using Kind         = screens::CameraAsk::Kind;
    if (ask.kind == Kind::shoot) {
        auto shot = wiring_.camera->shoot();
        if (shot)
            state.taken = std::move(shot->jpeg), state.source = shot->source, state.trouble.clear();
        else
            state.trouble = shot.error().message;
    }
    if (ask.kind == Kind::again) state.taken.clear(), state.trouble.clear();
    const bool kept =
        ask.kind == Kind::keep &&
        carry_out(engine::KeepPhoto{state.at, state.ask, state.taken, state.source}, state.trouble);
    if (kept || ask.kind == Kind::back) leave_camera();
}

void App::leave_camera()
{
    wiring_.camera->stop();
    photos_.forget_live();
    way_.back();
}

void App::scan_frame(kit::Ui& ui)
{
    screens::CameraState& state = memory_.camera;
    for (const char c : ui.take_typed()) {
        if (c != '\n') {
            state.typed.push_back(c);
            continue;
        }
        return take_code(std::exchange(state.typed, {}));
    }
    const auto preview = wiring_.camera->latest();
    if (!preview) return;
    if (const auto code = camera::scan(preview->picture)) take_code(*code);
}

void App::take_code(const std::string& code)
{
    if (memory_.camera.enrolling) return take_enrol_code(code);
    for (const auto& [number, job] : context().catalogue->jobs) {
        if (job.asset != code && number != code) continue;
        wiring_.camera->stop();
        photos_.forget_live();
        return open_job(number);
    }
    memory_.camera.trouble = wiring_.words->say("scan.unknown") + " " + code;
}

} // namespace field::app
