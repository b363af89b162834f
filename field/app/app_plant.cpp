// Who belongs to the plant: this tablet to the others, the list, enrolling and revoking.
#include "engine/book/locked_key.h"
#include "field/app/app.h"

namespace field::app {

void App::open_this_tablet()
{
    memory_.this_tablet = {};
    way_.go(Place::this_tablet);
    plant_.look();
}

void App::draw_this_tablet(kit::Ui& ui)
{
    using Ask                       = screens::ThisTabletAsk;
    screens::ThisTabletState& state = memory_.this_tablet;
    switch (draw(ui, state, view_of(context(), plant_.glance(), state))) {
    case Ask::nothing:
        return;
    case Ask::back:
        return way_.back();
    case Ask::members:
        memory_.members = {};
        way_.go(Place::members);
        return plant_.look();
    case Ask::my_key:
        memory_.my_key = {.key = plant_.person_key(wiring_.settings.badge)};
        return way_.go(Place::my_key);
    case Ask::compare:
        state.comparing = true;
        return;
    case Ask::look:
        return plant_.look();
    case Ask::trust:
        break;
    }
    const auto trusted = plant_.trust(state.key);
    if (!trusted) {
        state.refusal = trusted.error().message;
        return;
    }
    state = {};
    sender_.send_now();
}

void App::draw_my_key(kit::Ui& ui)
{
    screens::MyKeyState& state = memory_.my_key;
    if (const auto outcome = plant_.take_outcome()) {
        engine::wipe(state.pin);
        if (*outcome)
            state.key = plant_.person_key(wiring_.settings.badge);
        else
            state.refusal = outcome->error().message;
    }
    const auto glance = plant_.glance();
    const auto ask    = draw(ui, state, view_of(context(), glance, state));
    if (ask == screens::MyKeyAsk::make) plant_.make_person_key(wiring_.settings.badge, state.pin);
    if (ask == screens::MyKeyAsk::back && !glance.signing) {
        state = {};
        way_.back();
    }
}

void App::draw_members(kit::Ui& ui)
{
    using Kind     = screens::MembersAsk::Kind;
    const auto ask = draw(ui, memory_.members, view_of(context(), plant_.glance(), memory_.members));
    if (ask.kind == Kind::back) way_.back();
    if (ask.kind == Kind::look) plant_.look();
    if (ask.kind == Kind::open) open_member(ask.code);
    if (ask.kind == Kind::scan) {
        open_camera("", true);
        memory_.camera.enrolling = true;
    }
}

void App::open_member(const share::EnrolCode& code)
{
    memory_.member = {.code = code};
    way_.go(Place::member);
}

/// A code was read, by the camera or by a scanner that types.
void App::take_enrol_code(const std::string& text)
{
    const auto code = share::enrol_code(text);
    if (!code) {
        memory_.camera.trouble = code.error().message;
        return;
    }
    if (const auto ours = share::of_this_plant(wiring_.bench->book(), *code); !ours) {
        memory_.camera.trouble = ours.error().message;
        return;
    }
    leave_camera();
    open_member(*code);
}

void App::draw_member(kit::Ui& ui)
{
    screens::MemberState& state = memory_.member;
    const auto            view  = view_of(context(), plant_.glance(), state);
    const auto            ask   = draw(ui, state, view);
    if (ask == screens::MemberAsk::back) return way_.back();
    if (ask != screens::MemberAsk::sign) return;
    const engine::Book& book  = wiring_.bench->book();
    const bool          enrol = view.what == screens::MemberView::What::enrol;
    const auto saying = state.code.person ? enrol ? share::person_joins(book, state.code, state.role, "")
                                                  : share::person_leaves(book, state.code.key, state.reason)
                        : enrol ? share::machine_joins(book, state.code, state.role)
                                          : share::machine_leaves(book, state.code.key, state.reason);
    if (!saying) {
        state.refusal = saying.error().message;
        return;
    }
    memory_.plant_sign = {.saying = *saying, .what = view.main_title};
    way_.go(Place::plant_sign);
    plant_.find_key();
}

void App::draw_plant_sign(kit::Ui& ui)
{
    using Ask                      = screens::PlantSignAsk;
    screens::PlantSignState& state = memory_.plant_sign;
    if (const auto outcome = plant_.take_outcome()) {
        state.pad.clear();
        if (*outcome) {
            memory_.members.notice = wiring_.words->say("plant.done", {state.what});
            way_.back(), way_.back(); // past the member, whose case is settled
            sender_.send_now();
            return draw_place(ui);
        }
        state.refusal = outcome->error().message;
    }
    const auto glance = plant_.glance();
    switch (draw(ui, state, view_of(context(), glance, state))) {
    case Ask::nothing:
        return;
    case Ask::back:
        state.pad.clear();
        // What is being opened comes to its end: the outcome waits here, so nobody leaves before it.
        if (!glance.signing) way_.back();
        return;
    case Ask::find_key:
        return plant_.find_key();
    case Ask::sign:
        return plant_.sign(state.saying, state.pad.text());
    }
}

} // namespace field::app
