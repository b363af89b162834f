#include "field/screens/fitter/camera.h"

#include "field/kit/main_bar.h"

namespace field::screens {

using look::Rect;
using look::Role;

CameraView view_of(const ViewContext& context, const engine::JobState* job, const CameraState& state)
{
    const look::Words& words = *context.words;
    CameraView         view;
    view.heading =
        heading_of(context, job != nullptr ? place_title(context, job->plan, state.at.pos)
                                           : words.say(state.enrolling ? "plant.scan" : "scan.place"));
    view.title   = words.say(state.enrolling  ? "plant.scan_title"
                             : state.scanning ? "scan.title"
                                              : "camera.title");
    view.subject = state.enrolling                      ? words.say("plant.scan_subject")
                   : state.scanning                     ? words.say("scan.subject")
                   : state.ask == engine::kProblemPhoto ? words.say("problem.photo_of")
                                                        : words.say("ask." + state.at.key + "." + state.ask);
    view.taken   = !state.taken.empty();
    view.trouble = state.trouble;
    view.shoot   = words.say("camera.shoot");
    view.keep    = words.say("camera.keep");
    view.shoot_sub =
        words.say(view.trouble.empty() || state.enrolling ? state.scanning ? "scan.sub" : "camera.shoot_sub"
                                                          : "camera.trouble_sub");
    view.keep_sub = words.say("camera.keep_sub");
    view.again    = words.say("camera.again");
    view.back     = words.say("bar.back");
    view.waiting  = words.say("camera.waiting");
    view.scanning = state.scanning;
    return view;
}

CameraAsk draw(kit::Ui& ui, const CameraView& view, look::Texture picture)
{
    using Kind           = CameraAsk::Kind;
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    kit::MainBar bar{.side = {{"back", kit::ButtonSpec{.title = view.back}}}};
    bar.main = view.taken ? kit::MainAction{view.keep, view.keep_sub, true}
                          : kit::MainAction{view.shoot, view.shoot_sub, bool(picture) && !view.scanning};
    if (view.taken) bar.side.push_back({"again", kit::ButtonSpec{.title = view.again}});
    const auto tap = kit::main_bar(ui, bar);

    Rect body = ui.areas().body;
    body.y -= 5.0F, body.h += 5.0F; // no steel rule here
    Rect words = ui.portrait() ? body.cut_top(26.0F, 2.0F) : body.cut_right(64.0F, 4.0F);
    words.cut_top(
        canvas.text_wrapped(words, view.title,
                            {Role::title, ui.palette().ink, look::Across::left, look::Upright::top}) +
        2.0F);
    words.cut_top(
        canvas.text_wrapped(words, view.subject,
                            {Role::instruction, ui.palette().soft, look::Across::left, look::Upright::top}) +
        3.0F);
    canvas.rect(body, ui.palette().track, look::kCorner);
    if (picture)
        canvas.image(picture, body);
    else if (view.trouble.empty())
        canvas.text(body.centre(), view.waiting,
                    {Role::instruction, ui.palette().soft, look::Across::centre, look::Upright::middle});
    canvas.frame(body, {ui.palette().steel_edge, 0.35F}, look::kCorner);
    if (!view.trouble.empty()) {
        const Rect box = picture ? words : body.inset(6.0F);
        canvas.text_wrapped(box, view.trouble,
                            {picture ? Role::label : Role::instruction, ui.palette().outside,
                             look::Across::left, look::Upright::top});
    }
    if (tap.is("back")) return {Kind::back};
    if (tap.is("again")) return {Kind::again};
    if (tap.main) return {view.taken ? Kind::keep : Kind::shoot};
    return {};
}

} // namespace field::screens
