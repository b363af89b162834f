#include "field/screens/fitter/bolts.h"

#include "engine/mounting/bolting.h"
#include "field/drawing/paint.h"
#include "field/kit/button.h"
#include "field/kit/value_cell.h"
#include "field/screens/pictures.h"
#include "field/screens/step_parts.h"

#include <algorithm>
#include <array>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

constexpr std::array kPassWords{"bolts.first_pass", "bolts.second_pass", "bolts.third_pass"};

/// The passes that bring torque up; the check round after them has no setting of its own.
class Passes {
  public:
    Passes(int bolts, engine::NewtonMetres torque, engine::UnitOf unit)
        : torque_(engine::from_si(engine::to_si(torque.value, engine::UnitOf::newton_metre), unit)),
          unit_(unit)
    {
        for (const engine::Pass& pass : engine::tightening_passes(bolts))
            if (!pass.check) shares_.push_back(pass.share);
    }
    [[nodiscard]] int         last() const { return static_cast<int>(shares_.size()) - 1; }
    [[nodiscard]] std::string torque_of(int pass) const
    {
        return engine::fixed(torque_ * shares_.at(static_cast<std::size_t>(pass)), 0);
    }
    [[nodiscard]] std::string unit() const { return std::string(engine::unit_symbol(unit_)); }
    [[nodiscard]] std::string words_of(const look::Words& words, int pass) const
    {
        return words.say(pass == last() ? "bolts.last_pass" : kPassWords.at(static_cast<std::size_t>(pass)));
    }

  private:
    double              torque_; ///< in unit_
    engine::UnitOf      unit_;
    std::vector<double> shares_;
};

/// The unit on the scale of the wrench in hand, else of the first that fits: nobody converts at the machine.
engine::UnitOf wrench_unit(const ViewContext& context, const StepInHand& state, const engine::Ask* ask,
                           engine::NewtonMetres torque)
{
    const auto        tools = tools_for(context, engine::Tool::torque_wrench, torque.value);
    const bool        held  = std::find(tools.begin(), tools.end(), state.tool) != tools.end();
    const auto* const wrench =
        tools.empty() ? nullptr : context.catalogue->instrument(held ? state.tool : tools.front());
    const engine::UnitOf unit = wrench == nullptr ? engine::UnitOf::newton_metre : wrench->unit;
    const bool           taken =
        ask != nullptr && std::find(ask->units.begin(), ask->units.end(), unit) != ask->units.end();
    return taken ? unit : engine::UnitOf::newton_metre;
}

const engine::Ask* torque_ask(const engine::PlanStep& planned)
{
    for (const engine::Ask& ask : planned.step.asks)
        if (ask.kind == engine::AskKind::reading && ask.limits == "bolt_torque") return &ask;
    return nullptr;
}

} // namespace

BoltsView view_of_bolts(const ViewContext& context, const engine::JobState& job, const StepInHand& state)
{
    BoltsView view;
    view.step                         = view_of(context, job, state);
    const engine::PlanStep&   planned = *job.plan.find(state.at);
    const engine::StepStatus& status  = *job.progress.step(state.at);
    const engine::UnitSheet&  unit    = *job.plan.unit(state.at.pos);
    const engine::Ask*        ask     = torque_ask(planned);
    const look::Words&        words   = *context.words;
    view.bolts                        = bolts_of(unit);
    const int    bolts                = static_cast<int>(view.bolts.order.size());
    const int    recorded             = static_cast<int>(status.facts.readings.size());
    const Passes passes(bolts, unit.bolt_torque, wrench_unit(context, state, ask, unit.bolt_torque));
    const int    last = passes.last();
    // A reading of the last pass in the record means the earlier passes are behind us, whatever this screen
    // remembers.
    const int pass    = recorded > 0 ? last : std::min(state.pass, last);
    view.pass         = pass;
    const int clicked = pass == last ? recorded : state.clicked;
    view.bolts.done   = clicked;
    for (int i = 0; i <= last; ++i) {
        const double share = i < pass                 ? 1.0
                             : i == pass && bolts > 0 ? static_cast<double>(clicked) / bolts
                                                      : 0.0;
        view.passes.push_back({passes.words_of(words, i), passes.torque_of(i) + " " + passes.unit(), share});
    }
    if (ask == nullptr || clicked >= bolts) return view; // all tight: as any step
    const std::string number = std::to_string(clicked + 1);
    view.title  = words.say("bolts.title", {number, std::to_string(bolts), passes.words_of(words, pass)});
    view.torque = passes.torque_of(pass);
    view.unit   = passes.unit();
    if (pass < last) view.then = words.say("bolts.then", {passes.torque_of(pass + 1)});
    view.set_wrench = pass == last && state.wrench.empty();
    view.ask        = ask->name;
    if (pass == last)
        view.next_slot =
            ask->slots.at(static_cast<std::size_t>(view.bolts.order.at(static_cast<std::size_t>(clicked))));
    view.step.main_title = words.say("bolts.clicked", {number, view.set_wrench ? view.torque
                                                               : pass == last  ? state.wrench
                                                                               : view.torque});
    view.step.main_sub   = clicked + 1 < bolts ? words.say("bolts.next", {std::to_string(clicked + 2)})
                                               : words.say(pass < last ? "bolts.next_pass" : "bolts.last");
    view.step.main_on    = view.step.state == engine::StepState::open;
    view.clicks          = true;
    if (view.set_wrench)
        view.step.main_title = words.say("bolts.set_wrench"),
        view.step.main_sub   = words.say("bolts.set_wrench_sub");
    return view;
}

namespace {

/// What the wrench is to stand at now, and what comes after; upright the second stands below the first.
void draw_torque(kit::Ui& ui, Rect& box, const BoltsView& shown)
{
    if (shown.torque.empty()) return;
    look::Canvas& canvas = ui.canvas();
    const float   cap    = canvas.cap_mm(Role::reading);
    const float   width  = canvas.text({box.x, box.y + cap}, shown.torque, {Role::reading, ui.palette().act});
    canvas.text({box.x + width + 3.0F, box.y + cap}, shown.unit, {Role::value, ui.palette().soft});
    if (!ui.portrait()) {
        canvas.text({box.right(), box.y + cap}, shown.then,
                    {Role::value, ui.palette().ink, look::Across::right});
    } else if (!shown.then.empty()) {
        box.cut_top(cap + 2.5F);
        canvas.text({box.x, box.y + canvas.cap_mm(Role::value)}, shown.then, {Role::value, ui.palette().ink});
        box.cut_top(canvas.cap_mm(Role::value) + 3.0F);
        return;
    }
    box.cut_top(cap + 4.0F);
}

/// As many passes as fit, the present one first.
void draw_passes(kit::Ui& ui, Rect box, const BoltsView& shown)
{
    constexpr float   kPass_mm = 10.5F;
    const std::size_t fit =
        std::max<std::size_t>(1, static_cast<std::size_t>(std::max(0.0F, box.h) / kPass_mm));
    const std::size_t first = std::min(static_cast<std::size_t>(shown.pass),
                                       shown.passes.size() - std::min(fit, shown.passes.size()));
    for (std::size_t i = first; i < shown.passes.size() && box.h >= 9.0F; ++i) {
        const PassView& pass = shown.passes[i];
        box.cut_top(
            kit::labelled_value(
                ui.canvas(), box,
                {.label = pass.words, .value = pass.torque, .share = static_cast<float>(pass.share)}) +
            1.5F);
    }
}

} // namespace

StepAsk draw_bolts(kit::Ui& ui, StepInHand& state, const BoltsView& view)
{
    StepView step = view.step;
    if (!view.title.empty()) step.title = view.title;
    StepAsk ask = ask_of_bar(frame_of_step(ui, step), step);
    if (ask.kind == StepAsk::Kind::close && view.clicks) {
        if (view.set_wrench)
            ask = {.kind = StepAsk::Kind::open_cell, .ask = view.ask, .slot = view.next_slot};
        else
            ask = {.kind = StepAsk::Kind::bolt_clicked, .ask = view.ask, .slot = view.next_slot};
    }
    Rect figures = ui.areas().right;
    Rect pattern = ui.areas().left;
    if (ui.portrait()) { // the figures beside the pattern: its numbers must be read from the bolt
        Rect body = ui.areas().body;
        body.cut_top(words_of_step(ui, body, step) + 1.0F);
        body.cut_top(trouble_of_step(ui, body, state, step));
        figures = body.cut_left(body.w * 0.52F, 3.0F);
        pattern = body;
    } else {
        figures.cut_top(words_of_step(ui, figures, step) + 2.0F);
        figures.cut_top(trouble_of_step(ui, figures, state, step));
    }
    drawing::draw(ui.canvas(), pattern, view.bolts);
    draw_torque(ui, figures, view);
    draw_passes(ui, figures, view);
    return ask;
}

} // namespace field::screens
