#include "field/app/app.h"
#include "sync/segment.h"

namespace field::app {

/// A countersigned record is no longer today's work; a later return makes it so again. Years of them must not
/// slow the start.
std::vector<screens::JobGlance> App::glances() const
{
    const engine::Book&             book = wiring_.bench->book();
    std::vector<screens::JobGlance> all;
    for (const std::string& number : book.open_jobs()) {
        const auto state = wiring_.bench->job(number);
        all.push_back({*book.catalogue().job(number), state ? *state : nullptr,
                       state ? std::string{} : state.error().message});
    }
    return all;
}

void App::draw_today(kit::Ui& ui)
{
    using Kind     = screens::TodayAsk::Kind;
    const auto ask = draw(ui, memory_.today, view_of(context(), glances()));
    if (ask.kind == Kind::open) open_job(ask.job);
    if (ask.kind == Kind::settings) memory_.settings = {}, way_.go(Place::settings);
    if (ask.kind == Kind::send_box) way_.go(Place::send_box);
    if (ask.kind == Kind::people) memory_.people = {}, way_.go(Place::people);
    if (ask.kind == Kind::scan) open_camera("", true);
}

void App::open_job(const std::string& number)
{
    const bool other   = number != job_number_;
    job_number_        = number;
    const auto in_hand = job();
    if (in_hand == nullptr) return;
    memory_.sheet        = {};
    const auto& progress = in_hand->progress;
    // What is begun must be able to be closed. Today's list says so.
    if (!progress.started && screens::no_room(context())) return;
    if (!progress.started || progress.closed || !progress.next) {
        fresh_ = false;
        return way_.lead({Place::sheet});
    }
    // A job in work: look at the machine first when the tablet was restarted, the job changed, or time
    // passed.
    away_since_ms_ = progress.last_wall_ms;
    if (fresh_ || other || context().now.wall_ms - away_since_ms_ > kAwayMs) {
        fresh_ = false;
        return way_.lead({Place::sheet, Place::coming_back});
    }
    carry_on();
}

void App::carry_on()
{
    const auto in_hand = job();
    const auto next    = in_hand == nullptr ? std::nullopt : screens::step_to_go_on(in_hand->progress);
    if (next)
        open_step(*next);
    else
        way_.lead({Place::sheet});
}

void App::draw_sheet(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return way_.home();
    using Kind     = screens::JobSheetAsk::Kind;
    const auto ask = draw(ui, memory_.sheet, view_of(context(), *in_hand, memory_.sheet));
    if (ask.kind == Kind::back) way_.home();
    if (ask.kind == Kind::kit) memory_.kit = {}, way_.go(Place::kit);
    if (ask.kind == Kind::record) open_record();
    if (ask.kind == Kind::carry_on) carry_on();
    if (ask.kind != Kind::open_card) return;
    for (const engine::StepStatus& status : in_hand->progress.steps)
        if (status.ref.pos == ask.pos &&
            (status.state == engine::StepState::open || status.state == engine::StepState::held))
            return open_step(status.ref);
}

void App::draw_kit(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return way_.home();
    if (draw(ui, memory_.kit, view_of(context(), *in_hand, memory_.kit)) == screens::KitListAsk::back)
        way_.back();
}

void App::open_record()
{
    screens::RecordState record{.page = -1}; // the last one
    if (const auto in_hand = job())
        for (const engine::Entry& entry : in_hand->entries)
            for (const std::string& sha256 : share::photos_of(entry)) {
                const auto place = wiring_.bench->book().photo_place(sha256);
                if (place == engine::Book::PhotoPlace::in_folder) record.away.insert(sha256);
                if (place == engine::Book::PhotoPlace::asked_for) record.wanted.insert(sha256);
            }
    memory_.record = std::move(record);
    way_.go(Place::record);
}

/// A photo that left this tablet comes with the next exchange.
void App::fetch_photo(const std::string& sha256)
{
    screens::RecordState& state = memory_.record;
    if (!wiring_.bench->book().want_back(sha256)) return; // the line still says where it is
    state.picked.clear();
    state.wanted.insert(sha256);
    sender_.send_now();
}

void App::draw_record(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return way_.home();
    const auto ask = draw(ui, memory_.record, view_of(context(), *in_hand, memory_.record));
    if (ask.kind == screens::RecordAsk::Kind::back) way_.back();
    if (ask.kind == screens::RecordAsk::Kind::fetch) fetch_photo(ask.entry_id);
    if (ask.kind == screens::RecordAsk::Kind::correct) {
        memory_.correct = {.entry_id = ask.entry_id};
        way_.go(Place::correct);
    }
}

void App::draw_correct(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return way_.home();
    screens::CorrectState& state = memory_.correct;
    const auto             ask   = draw(ui, state, view_of(context(), *in_hand, state));
    if (ask.kind == screens::CorrectAsk::Kind::back) way_.back();
    if (ask.kind != screens::CorrectAsk::Kind::record) return;
    const auto value = state.keypad.entered();
    if (!value)
        state.refusal = value.error().message;
    else if (carry_out(engine::Correct{state.entry_id, *value, state.reason}, state.refusal))
        way_.back();
}

void App::draw_coming_back(kit::Ui& ui)
{
    const auto in_hand = job();
    if (in_hand == nullptr) return way_.home();
    const auto view = view_of_return(context(), *in_hand, context().now.wall_ms - away_since_ms_);
    const auto photo =
        view.photo.empty() ? look::Texture{} : photos_.kept(wiring_.bench->book().photos(), view.photo);
    screens::StepInHand  next;
    screens::StepPicture picture;
    if (const auto at = screens::step_to_go_on(in_hand->progress)) {
        next.at = *at;
        picture = picture_of(context(), *in_hand, next, view_of(context(), *in_hand, next));
    }
    switch (draw(ui, view, photo, picture)) {
    case screens::ComingBackAsk::nothing:
        return;
    case screens::ComingBackAsk::back:
        return way_.lead({Place::sheet});
    case screens::ComingBackAsk::carry_on:
        return carry_on();
    case screens::ComingBackAsk::changed:
        carry_on();
        memory_.problem = {.at = memory_.step.at};
        return way_.go(Place::problem);
    }
}

} // namespace field::app
