#include "field/screens/fitter/step_view.h"

#include "field/screens/page.h"

#include <algorithm>
#include <cctype>
#include <cmath>

namespace field::screens {

using engine::AskKind;
using engine::StepState;

namespace {

using engine::StepStatus;

std::string slot_words(const ViewContext& context, const engine::StepRef& at, const engine::Ask& ask,
                       const std::string& slot)
{
    std::string label = context.words->say("ask." + at.key + "." + ask.name);
    if (slot.empty()) return label;
    if (const std::string own = "slot." + at.key + "." + slot; context.words->has(own))
        return context.words->say(own);
    const std::string id = "slot." + slot;
    if (context.words->has(id)) return context.words->say(id);
    if (const std::size_t dot = slot.find('.'); dot != std::string::npos) { // "A.15": position and minutes
        const std::string minutes = slot.substr(dot + 1);
        return slot.substr(0, dot) + ", " + minutes + " min";
    }
    return label + " " + slot;
}

CellView reading_cell(const ViewContext& context, const StepStatus& status, const engine::Ask& ask,
                      const std::string& slot)
{
    CellView cell{.ask = ask.name, .slot = slot, .kind = ask.kind, .optional = ask.optional};
    cell.label = slot_words(context, status.ref, ask, slot);
    if (const auto* fact = status.facts.reading(ask.name, slot)) {
        cell.given   = true;
        cell.value   = fact->value.text;
        cell.unit    = engine::unit_symbol(fact->value.unit);
        cell.verdict = fact->verdict;
    } else if (!ask.units.empty()) {
        cell.unit = engine::unit_symbol(ask.units.front());
    }
    return cell;
}

CellView choice_cell(const ViewContext& context, const StepStatus& status, const engine::Ask& ask)
{
    CellView    cell{.ask = ask.name, .kind = ask.kind, .optional = ask.optional};
    const auto* fact = status.facts.choice(ask.name);
    cell.label       = context.words->say("ask." + status.ref.key + "." + ask.name);
    for (const engine::Option& option : ask.options) {
        const std::string words =
            context.words->say("option." + status.ref.key + "." + ask.name + "." + option.value);
        cell.options.push_back({option.value, words, fact != nullptr && fact->option == option.value});
    }
    if (fact != nullptr) {
        cell.given   = true;
        cell.value   = fact->option;
        cell.verdict = fact->goes_on ? engine::Verdict::inside : engine::Verdict::outside;
    }
    return cell;
}

CellView code_cell(const ViewContext& context, const StepStatus& status, const engine::Ask& ask)
{
    CellView cell{.ask = ask.name, .kind = ask.kind, .optional = ask.optional};
    cell.label = context.words->say("ask." + status.ref.key + "." + ask.name);
    if (const auto* fact = status.facts.code(ask.name)) cell.given = true, cell.value = fact->text;
    return cell;
}

void add_cells(StepView& view, const ViewContext& context, const StepStatus& status, const engine::Ask& ask)
{
    switch (ask.kind) {
    case AskKind::reading:
        for (const std::string& slot : ask.slots)
            view.cells.push_back(reading_cell(context, status, ask, slot));
        break;
    case AskKind::choice:
        view.cells.push_back(choice_cell(context, status, ask));
        break;
    case AskKind::code:
        view.cells.push_back(code_cell(context, status, ask));
        break;
    case AskKind::photo:
        ++view.photos_wanted;
        if (status.facts.has_photo(ask.name))
            ++view.photos;
        else if (view.photo_ask.empty())
            view.photo_ask = ask.name;
        break;
    }
}

RuleView rule_of(const engine::JobState& job, const engine::StepRef& here)
{
    RuleView rule;
    for (const engine::StepStatus& status : job.progress.steps) {
        if (!here.pos.empty() && !status.ref.pos.empty() && status.ref.pos != here.pos) continue;
        const engine::PlanStep* planned = job.plan.find(status.ref);
        const bool              judged =
            std::any_of(planned->step.asks.begin(), planned->step.asks.end(),
                        [](const engine::Ask& ask) { return ask.limits == "seat" || ask.limits == "tab"; });
        if (planned->step.hold || judged || status.state == StepState::held) rule.holds.push_back(rule.steps);
        if (status.ref == here) rule.here = rule.steps;
        if (status.state == StepState::done || status.state == StepState::skipped)
            rule.done = std::max(rule.done, rule.steps + 1);
        ++rule.steps;
    }
    rule.done = std::min(rule.done, rule.here);
    return rule;
}

std::string next_words(const ViewContext& context, const engine::JobState& job, const engine::StepRef& here)
{
    bool passed = false;
    for (const engine::StepStatus& status : job.progress.steps) {
        if (status.ref == here)
            passed = true;
        else if (passed && status.state != StepState::done && status.state != StepState::skipped) {
            std::string words =
                context.words->say("main.next") + " " + step_words(context, job.plan, status.ref, "next");
            if (!status.ref.pos.empty() && status.ref.pos != here.pos) words += " · " + status.ref.pos;
            return words;
        }
    }
    return context.words->say("main.last");
}

void set_main(StepView& view, const ViewContext& context, const engine::JobState& job,
              const StepStatus& status)
{
    const look::Words& words = *context.words;
    view.main_title          = step_words(context, job.plan, status.ref, "done");
    view.left_to_give        = static_cast<int>(status.missing.size());
    switch (status.state) {
    case StepState::waiting:
        view.main_sub = words.say("main.waits");
        if (!status.waits_for.empty()) {
            const engine::StepRef& first = status.waits_for.front();
            view.main_sub = words.say("main.first") + " " + step_words(context, job.plan, first, "next") +
                            (first.pos.empty() ? "" : " · " + first.pos);
        }
        break;
    case StepState::held:
        view.main_title = words.say(view.asked ? "main.decide" : "main.held");
        view.main_sub   = words.say("main.held_sub");
        view.main_on    = true;
        break;
    case StepState::done:
    case StepState::skipped:
        view.main_title = words.say("main.go_on");
        view.main_sub   = next_words(context, job, status.ref);
        view.main_on    = true;
        break;
    case StepState::open:
        view.main_on  = status.missing.empty();
        view.main_sub = view.main_on ? next_words(context, job, status.ref) : "";
        if (view.main_on) break;
        const bool only_photos =
            std::all_of(status.missing.begin(), status.missing.end(), [&](const auto& ask) {
                const engine::PlanStep* planned = job.plan.find(status.ref);
                return std::any_of(
                    planned->step.asks.begin(), planned->step.asks.end(),
                    [&](const engine::Ask& a) { return a.name == ask.first && a.kind == AskKind::photo; });
            });
        view.main_sub = only_photos ? words.say("main.photo_first")
                        : view.left_to_give == 1
                            ? words.say("main.one_to_go")
                            : std::to_string(view.left_to_give) + " " + words.say("main.to_go");
        break;
    }
}

/// While it runs in, the instruction says when the next temperature is due: minutes after the first reading.
std::string next_heat(const ViewContext& context, const engine::StepStatus& status, const CellView& open)
{
    const std::size_t dot = open.slot.find('.');
    if (status.facts.readings.empty() || dot == std::string::npos) return "";
    std::int64_t start = status.facts.readings.front().at.wall_ms;
    for (const engine::ReadingFact& reading : status.facts.readings)
        start = std::min(start, reading.at.wall_ms);
    const auto minutes = engine::parse_number(open.slot.substr(dot + 1));
    if (!minutes || *minutes <= 0) return "";
    const std::int64_t due  = start + static_cast<std::int64_t>(*minutes) * 60'000;
    const std::string  when = engine::hour_minute(due, context.now.tz_min);
    return context.words->say(due > context.now.wall_ms ? "run_in.next_at" : "run_in.due",
                              {open.slot.substr(0, dot), when});
}

constexpr double kWide_mm = 20.0; ///< limits this far apart are read off a rule, not a micrometer

GaugeView gauge_of(const std::optional<engine::Limits>& limits, engine::UnitOf unit)
{
    GaugeView gauge{.decimals = usual_decimals(unit), .unit = std::string(engine::unit_symbol(unit))};
    if (limits && limits->low) gauge.low = engine::from_si(*limits->low, unit);
    if (limits && limits->high) gauge.high = engine::from_si(*limits->high, unit);
    const bool wide =
        unit == engine::UnitOf::mm && gauge.low && gauge.high && *gauge.high - *gauge.low > kWide_mm;
    if (wide) gauge.decimals = 1;
    // The limits of a torque are seldom whole: 169.6 shown as 170 would let a 170 stand inside its own gauge.
    const auto whole = [](const std::optional<double>& limit) {
        return !limit || *limit == std::floor(*limit);
    };
    const bool torque = engine::si_unit(unit) == engine::si_unit(engine::UnitOf::newton_metre);
    if (torque && !(whole(gauge.low) && whole(gauge.high))) gauge.decimals = 1;
    return gauge;
}

/// Small angles are told finer than the nut's.
int figure_decimals(const engine::Figure& figure)
{
    const bool small_angle =
        figure.unit == engine::UnitOf::deg && std::abs(engine::from_si(figure.si, figure.unit)) < 10.0;
    return small_angle ? 2 : usual_decimals(figure.unit);
}

/// "peak_a" is the peak at position A.
std::string figure_words(const ViewContext& context, const std::string& key)
{
    const std::string id  = "figure." + key;
    const std::size_t cut = key.rfind('_');
    if (context.words->has(id) || cut == std::string::npos) return context.words->say(id);
    std::string letter = key.substr(cut + 1);
    for (char& c : letter)
        c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    return context.words->say("figure." + key.substr(0, cut)) + " " + letter;
}

void set_figures(StepView& view, const ViewContext& context, const engine::Assessment& assessment)
{
    for (const engine::Figure& figure : assessment.figures) {
        FigureView shown{figure_words(context, figure.key),
                         quantity_text(figure.si, figure.unit, figure_decimals(figure)),
                         gauge_of(figure.limits, figure.unit)};
        shown.gauge.value   = engine::from_si(figure.si, figure.unit);
        shown.gauge.u       = engine::from_si(figure.u_si, figure.unit);
        shown.gauge.verdict = figure.verdict;
        view.figures.push_back(std::move(shown));
    }
    view.advice = assessment.advice;
}

/// The open reading: label, units, instrument and, from the first digit on, its limits.
void set_typing(StepView& view, const ViewContext& context, const engine::JobState& job,
                const screens::StepInHand& state)
{
    for (const engine::Ask& ask : job.plan.find(state.at)->step.asks) {
        if (ask.name != state.typing->first) continue;
        view.typing_label = ask.kind == AskKind::code
                                ? context.words->say("ask." + state.at.key + "." + ask.name)
                                : slot_words(context, state.at, ask, state.typing->second);
        view.typing_units = ask.units;
        view.typing_tool  = ask.tool ? state.tool : "";
        if (ask.kind != AskKind::reading || state.keypad.empty()) return; // limits only after the first digit
        const engine::UnitOf unit = state.keypad.unit();
        const auto limits = engine::limits_of_reading(job.plan, job.progress.facts(), state.at, ask.name,
                                                      state.typing->second, unit);
        if (!limits) return;
        GaugeView gauge = gauge_of(limits, unit);
        if (const auto entered = state.keypad.entered()) gauge.value = engine::from_si(entered->si, unit);
        view.typing_gauge = gauge;
    }
}

} // namespace

StepView view_of(const ViewContext& context, const engine::JobState& job, const screens::StepInHand& state)
{
    StepView                  view;
    const engine::StepStatus* status  = job.progress.step(state.at);
    const engine::PlanStep*   planned = job.plan.find(state.at);
    view.heading                      = heading_of(context, place_title(context, job.plan, state.at.pos));
    if (status == nullptr || planned == nullptr) return view;
    view.rule        = rule_of(job, state.at);
    view.screen      = planned->step.screen;
    view.title       = step_words(context, job.plan, state.at, "title");
    view.instruction = step_words(context, job.plan, state.at, "do");
    if (planned->step.caution)
        view.caution = {planned->step.caution->level,
                        context.words->say("caution." + planned->step.caution->text_id)};
    for (const engine::Ask& ask : planned->step.asks)
        add_cells(view, context, *status, ask);
    for (CellView& cell : view.cells)
        cell.id = "cell." + cell.ask + (cell.slot.empty() ? "" : "." + cell.slot);
    for (std::size_t i = 0; i < view.cells.size() && !view.open_cell; ++i)
        if (!view.cells[i].given && !view.cells[i].optional) view.open_cell = i;
    if (view.screen == "run_in" && view.open_cell)
        if (const std::string next = next_heat(context, *status, view.cells[*view.open_cell]); !next.empty())
            view.instruction = next;
    if (view.photo_ask.empty())
        for (const engine::Ask& ask : planned->step.asks)
            if (ask.kind == AskKind::photo) view.photo_ask = ask.name;
    view.state        = status->state;
    view.held_because = without_sources(status->assessment.sentence);
    if (view.held_because.empty() && !status->facts.problems.empty())
        view.held_because = context.words->say("reason." + status->facts.problems.back().reason) + ".";
    view.asked = !status->facts.problems.empty();
    set_figures(view, context, status->assessment);
    set_main(view, context, job, *status);
    if (state.typing) set_typing(view, context, job, state);
    return view;
}

std::vector<std::string> tools_for(const ViewContext& context, engine::Tool tool,
                                   std::optional<double> expected)
{
    std::vector<const engine::Instrument*> fit;
    for (const auto& [tag, instrument] : context.catalogue->instruments)
        if (instrument.tool == tool && instrument.retired.empty() &&
            instrument.calibration_due >= context.today)
            fit.push_back(&instrument);
    const auto reaches = [&](const engine::Instrument* i) {
        if (!expected) return true;
        // Expected values are in mm or N·m; the range is in the instrument's own unit.
        const bool   torque = engine::si_unit(i->unit) == engine::si_unit(engine::UnitOf::newton_metre);
        const auto   usual  = torque ? engine::UnitOf::newton_metre : engine::UnitOf::mm;
        const double there  = engine::si_unit(i->unit) == engine::si_unit(usual)
                                  ? engine::from_si(engine::to_si(*expected, usual), i->unit)
                                  : *expected;
        return there >= i->low && there <= i->high;
    };
    if (std::any_of(fit.begin(), fit.end(), reaches))
        fit.erase(std::remove_if(fit.begin(), fit.end(), [&](const auto* i) { return !reaches(i); }),
                  fit.end());
    std::vector<std::string> tags;
    tags.reserve(fit.size());
    for (const engine::Instrument* instrument : fit)
        tags.push_back(instrument->tag);
    return tags;
}

} // namespace field::screens

namespace field::screens {
namespace {

const engine::Ask* ask_of(const engine::Plan& plan, const StepInHand& state)
{
    const engine::PlanStep* planned = plan.find(state.at);
    if (planned == nullptr || !state.typing) return nullptr;
    for (const engine::Ask& ask : planned->step.asks)
        if (ask.name == state.typing->first) return &ask;
    return nullptr;
}

/// About the size a reading will have, to pick an instrument whose range holds it; in the instrument's usual
/// unit.
std::optional<double> expected_of(const engine::Plan& plan, const StepInHand& state, const engine::Ask& ask)
{
    const engine::UnitSheet* unit = plan.unit(state.at.pos);
    if (unit == nullptr) return std::nullopt;
    if (ask.limits == "seat") return unit->shaft.value;
    if (ask.limits == "shim" && unit->shim) return unit->shim->value;
    if (ask.limits == "bolt_torque") return unit->bolt_torque.value;
    if (ask.limits == "cap_torque" && unit->cap_torque) return unit->cap_torque->value;
    return std::nullopt;
}

engine::UnitOf usual_unit(const ViewContext& context, const engine::Ask& ask)
{
    for (const engine::UnitOf unit : ask.units)
        if (context.units == Units::inch && (unit == engine::UnitOf::inch || unit == engine::UnitOf::thou))
            return unit;
    return ask.units.empty() ? engine::UnitOf::text : ask.units.front();
}

kit::PadMode mode_of(const engine::Ask& ask, engine::UnitOf unit)
{
    if (ask.kind == AskKind::code) return kit::PadMode::code;
    if (unit == engine::UnitOf::deg) return kit::PadMode::angle;
    if (unit == engine::UnitOf::count) return kit::PadMode::integer;
    return kit::PadMode::decimal;
}

/// A wrench is set and read in the unit on its scale.
void take_unit_of_wrench(StepInHand& state, const ViewContext& context, const engine::Ask& ask)
{
    const engine::Instrument* tool = context.catalogue->instrument(state.tool);
    if (tool == nullptr || tool->tool != engine::Tool::torque_wrench || tool->unit == state.keypad.unit() ||
        std::find(ask.units.begin(), ask.units.end(), tool->unit) == ask.units.end())
        return;
    state.keypad = kit::KeypadState(mode_of(ask, tool->unit), tool->unit);
}

} // namespace

void open_keypad(StepInHand& state, const ViewContext& context, const engine::Plan& plan,
                 const AskSlot& asked)
{
    state.typing           = asked;
    const engine::Ask* ask = ask_of(plan, state);
    if (ask == nullptr) return state.typing.reset();
    // The unit of the reading before goes on as long as this one can be read in it.
    const bool same = std::find(ask->units.begin(), ask->units.end(), state.unit_kept) != ask->units.end();
    const engine::UnitOf unit = same ? state.unit_kept : usual_unit(context, *ask);
    state.keypad              = kit::KeypadState(mode_of(*ask, unit), unit);
    if (!ask->tool) return state.tool.clear();
    const auto tools = tools_for(context, *ask->tool, expected_of(plan, state, *ask));
    if (std::find(tools.begin(), tools.end(), state.tool) == tools.end())
        state.tool = tools.empty() ? "" : tools.front();
    take_unit_of_wrench(state, context, *ask);
}

void pick_next_tool(StepInHand& state, const ViewContext& context, const engine::Plan& plan)
{
    const engine::Ask* ask = ask_of(plan, state);
    if (ask == nullptr || !ask->tool) return;
    const auto tools = tools_for(context, *ask->tool, expected_of(plan, state, *ask));
    if (tools.empty()) return;
    const auto now = std::find(tools.begin(), tools.end(), state.tool);
    state.tool     = now == tools.end() || now + 1 == tools.end() ? tools.front() : *(now + 1);
    take_unit_of_wrench(state, context, *ask);
}

} // namespace field::screens
