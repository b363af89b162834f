#include "field/screens/fitter/record.h"

#include "field/kit/main_bar.h"
#include "field/look/symbols.h"
#include "field/screens/page.h"
#include "field/screens/pager.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

using Asked = std::pair<std::string, std::string>; ///< ask, slot

/// "A · Diameter, I across"; without an ask the step itself: "A · Seat measured".
std::string where(const ViewContext& context, const engine::JobState& job, const engine::StepRef& at,
                  const Asked& asked)
{
    std::string text = at.pos.empty() ? "" : at.pos + " · ";
    if (asked.first.empty())
        text += step_words(context, job.plan, at, "short");
    else if (asked.first == engine::kProblemPhoto)
        text += context.words->say("problem.photo_of");
    else
        text += context.words->say("ask." + at.key + "." + asked.first);
    if (asked.second.empty()) return text;
    const std::string slot = "slot." + asked.second;
    return text + ", " + (context.words->has(slot) ? context.words->say(slot) : asked.second);
}

std::string by_line(const ViewContext& context, const engine::Signed& at, const std::string& tool)
{
    std::string text =
        context.words->say("today.badge", {at.actor}) + ", " + engine::hour_minute(at.wall_ms, at.tz_min);
    return tool.empty() ? text : text + ", " + tool;
}

std::string limits_text(const engine::ReadingFact& reading)
{
    if (!reading.limits) return "";
    const auto unit = reading.value.unit;
    const auto text = [&](const std::optional<std::int64_t>& si) {
        return si ? number_text(*si, unit) : std::string("…");
    };
    return text(reading.limits->low) + " – " + text(reading.limits->high);
}

RecordLine line_of(const ViewContext& context, const engine::JobState& job, const engine::StepRef& at,
                   const engine::ReadingFact& reading)
{
    RecordLine line{.entry_id = reading.at.id, .what = where(context, job, at, {reading.ask, reading.slot})};
    line.value   = reading.value.text + " " + std::string(engine::unit_symbol(reading.value.unit));
    line.limits  = limits_text(reading);
    line.by      = by_line(context, reading.at, reading.tool);
    line.verdict = reading.verdict;
    for (const engine::Struck& struck : reading.struck) {
        line.old_value = struck.text + " " + std::string(engine::unit_symbol(struck.unit));
        line.struck    = context.words->say(
               "record.was", {context.words->say("reason." + struck.reason),
                              struck.by.actor + " " + engine::hour_minute(struck.by.wall_ms, struck.by.tz_min)});
    }
    return line;
}

using Timed = std::pair<std::int64_t, RecordLine>;

/// A photo says where it is: here, in the shared folder only, or asked back from there.
RecordLine photo_line(const ViewContext& context, const RecordState& state, const std::string& what,
                      const engine::PhotoFact& photo)
{
    RecordLine line{.entry_id = "", .what = what, .value = context.words->say("record.photo")};
    line.by = by_line(context, photo.at, "");
    if (state.wanted.count(photo.sha256) > 0) {
        line.value = context.words->say("record.photo_wanted");
    } else if (state.away.count(photo.sha256) > 0) {
        line.value = context.words->say("record.photo_away");
        line.away  = photo.sha256;
    }
    return line;
}

void add_facts(std::vector<Timed>& lines, const ViewContext& context, const engine::JobState& job,
               const engine::StepFacts& facts, const RecordState& state)
{
    const auto add = [&](const engine::Signed& at, const std::string& value, engine::Verdict verdict,
                         const std::string& ask = {}) {
        lines.emplace_back(at.wall_ms, RecordLine{.entry_id = "",
                                                  .what     = where(context, job, facts.ref, {ask, ""}),
                                                  .value    = value,
                                                  .limits   = "",
                                                  .by       = by_line(context, at, ""),
                                                  .struck   = "",
                                                  .verdict  = verdict});
    };
    for (const auto& reading : facts.readings)
        lines.emplace_back(reading.at.wall_ms, line_of(context, job, facts.ref, reading));
    for (const auto& reading : facts.repeats) {
        RecordLine line = line_of(context, job, facts.ref, reading);
        line.entry_id.clear();
        line.struck = context.words->say("record.read_again");
        lines.emplace_back(reading.at.wall_ms, std::move(line));
    }
    for (const auto& choice : facts.choices)
        add(choice.at, context.words->say("option." + facts.ref.key + "." + choice.ask + "." + choice.option),
            choice.goes_on ? engine::Verdict::inside : engine::Verdict::outside, choice.ask);
    for (const auto& code : facts.codes)
        add(code.at, code.text, engine::Verdict::inside, code.ask);
    for (const auto& photo : facts.photos)
        lines.emplace_back(
            photo.at.wall_ms,
            photo_line(context, state, where(context, job, facts.ref, {photo.ask, ""}), photo));
    for (const auto& problem : facts.problems)
        add(problem.at, context.words->say("reason." + problem.reason), engine::Verdict::undecided);
    for (const auto& decision : facts.decisions)
        add(decision.at, context.words->say(decision.accept ? "record.released" : "record.measure_again"),
            engine::Verdict::undecided);
}

} // namespace

RecordView view_of(const ViewContext& context, const engine::JobState& job, const RecordState& state)
{
    RecordView view;
    view.heading =
        heading_of(context, context.words->say("sheet.title", {job.plan.job.title, job.plan.job.number}));
    view.title   = context.words->say("record.title");
    view.back    = context.words->say("bar.back");
    view.correct = context.words->say("record.correct");
    view.fetch   = context.words->say("record.fetch");
    view.none    = context.words->say("record.none");
    std::vector<Timed> lines;
    for (const engine::StepStatus& status : job.progress.steps)
        add_facts(lines, context, job, status.facts, state);
    for (const engine::PositionStatus& position : job.progress.positions) {
        for (const engine::PastAttempt& past : position.past) {
            for (const engine::StepFacts& facts : past.steps)
                add_facts(lines, context, job, facts, state);
            lines.emplace_back(
                past.back_off.wall_ms,
                RecordLine{.entry_id = "",
                           .what     = position.letter + " · " +
                                   context.words->say("record.back_off", {std::to_string(past.number)}),
                           .value   = context.words->say("reason." + past.reason),
                           .limits  = "",
                           .by      = by_line(context, past.back_off, ""),
                           .struck  = "",
                           .verdict = engine::Verdict::undecided});
        }
    }
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Timed& a, const Timed& b) { return a.first < b.first; });
    for (auto& [when, line] : lines)
        view.lines.push_back(std::move(line));
    return view;
}

namespace {

/// The old value stays readable under the stroke; returns the width it took.
float draw_struck(look::Canvas& canvas, look::Point at, const std::string& value, look::Colour colour)
{
    if (value.empty()) return 0;
    const float width  = canvas.text(at, value, {Role::label, colour});
    const float middle = at.y - canvas.cap_mm(Role::label) / 2;
    canvas.line({at.x - 0.6F, middle}, {at.x + width + 0.6F, middle}, {colour, 0.35F});
    return width + 2.5F;
}

void draw_line(kit::Ui& ui, const Rect& row, const RecordLine& line, bool picked)
{
    look::Canvas& canvas  = ui.canvas();
    const auto&   colours = ui.palette();
    kit::card(canvas, row, picked);
    const look::Owner owner(canvas, row);
    const bool        trouble = line.verdict != engine::Verdict::inside;
    const auto        symbol  = !trouble                                   ? look::Symbol::inside
                                : line.verdict == engine::Verdict::outside ? look::Symbol::outside
                                                                           : look::Symbol::undecided;
    look::draw_symbol(canvas, symbol, {row.x + 6.0F, row.y + row.h / 2}, 6.0F,
                      trouble ? std::nullopt : std::optional(colours.ink));
    const float left  = row.x + 12.0F;
    const float room  = row.w - 15.0F;
    const float value = canvas.text_width(line.value, Role::instruction);
    const float name  = std::max(room - value - 3.0F, room * 0.35F);
    canvas.text_fitted({left, row.y + 8.0F}, line.what, {Role::label_bold, colours.ink}, name);
    canvas.text_fitted({std::max(row.right() - 3.0F - value, left + name + 2.0F), row.y + 8.0F}, line.value,
                       {Role::instruction, colours.ink}, room - name - 2.0F);
    const std::string below = line.struck.empty() ? line.by : line.struck;
    // Who, when and why of a correction go before the limits, which the step shows too.
    const float wide   = canvas.text_width(line.limits, Role::label);
    const bool  beside = line.struck.empty() ||
                        canvas.text_width(line.old_value + "  " + below, Role::label) <= room - wide - 5.0F;
    const float right = beside ? wide : 0.0F;
    const float start = left + draw_struck(canvas, {left, row.y + 16.0F}, line.old_value, colours.soft);
    canvas.text_fitted({start, row.y + 16.0F}, below, {Role::label, colours.soft},
                       room - right - 3.0F - (start - left));
    if (!beside) return;
    canvas.text({row.right() - 3.0F, row.y + 16.0F}, line.limits,
                {Role::label, colours.soft, look::Across::right});
}

} // namespace

RecordAsk draw(kit::Ui& ui, RecordState& state, const RecordView& view)
{
    using Kind = RecordAsk::Kind;
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const bool may   = !state.picked.empty();
    const bool photo = may && state.away.count(state.picked) > 0;
    const auto tap =
        kit::main_bar(ui, {.side = {{"back", {.title = view.back}}},
                           .main = {photo ? view.fetch : view.correct, may ? "" : view.title, may}});
    Rect body = page_body(ui, true);
    if (view.lines.empty())
        ui.canvas().text_wrapped(
            body.inset(4.0F), view.none,
            {Role::instruction, ui.palette().soft, look::Across::left, look::Upright::top});
    const float row_mm = kit::kTarget;
    const Pages pages  = pages_of(view.lines.size(), body.h, row_mm, state.page, 2.95F);
    if (pages.count > 1) draw_pager(ui, body.cut_bottom(kit::kTarget, 2.95F), pages, state.page);
    for (std::size_t i = pages.first();
         i < view.lines.size() && i < pages.first() + static_cast<std::size_t>(pages.per_page); ++i) {
        const RecordLine&  line = view.lines[i];
        const Rect         row  = body.cut_top(row_mm, 2.95F);
        const std::string& pick = line.entry_id.empty() ? line.away : line.entry_id;
        if (!pick.empty() && ui.hit("line." + std::to_string(i - pages.first()), row, {.says = line.what}))
            state.picked = pick;
        draw_line(ui, row, line, !state.picked.empty() && state.picked == pick);
    }
    if (tap.is("back")) return {Kind::back, ""};
    if (tap.main) return {photo ? Kind::fetch : Kind::correct, state.picked};
    return {};
}

} // namespace field::screens
