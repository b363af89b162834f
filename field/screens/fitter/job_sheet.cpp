#include "field/screens/fitter/job_sheet.h"

#include "engine/fit/sheet_check.h"
#include "field/drawing/paint.h"
#include "field/kit/button.h"
#include "field/kit/list_row.h"
#include "field/kit/main_bar.h"
#include "field/screens/pager.h"
#include "field/screens/pictures.h"

#include <algorithm>
#include <set>

namespace field::screens {

using engine::StepState;
using look::Rect;
using look::Role;

namespace {

LineMark mark_of(const engine::StepStatus& status, const std::optional<engine::StepRef>& next)
{
    if (status.state == StepState::done) return LineMark::done;
    if (status.state == StepState::skipped) return LineMark::skipped;
    if (status.state == StepState::held) return LineMark::held;
    return next && status.ref == *next ? LineMark::here : LineMark::todo;
}

/// "Seat 49.970 mm" once it is known, else the short words of the step.
std::string line_words(const ViewContext& context, const engine::JobState& job,
                       const engine::StepStatus& status)
{
    std::string words = step_words(context, job.plan, status.ref, "short");
    if (status.state != StepState::done) return words;
    for (const engine::Figure& figure : status.assessment.figures)
        if (figure.key == "mean_20c" || figure.key == "final_angle")
            return words + " " + quantity_text(figure.si, figure.unit);
    return words;
}

SheetCard card_of(const ViewContext& context, const engine::JobState& job, const std::string& pos)
{
    SheetCard  card{.pos = pos};
    const auto next = step_to_go_on(job.progress);
    for (const engine::StepStatus& status : job.progress.steps) {
        if (status.ref.pos != pos) continue;
        const LineMark mark = mark_of(status, next);
        card.here           = card.here || mark == LineMark::here;
        card.may_open = card.may_open || status.state == StepState::open || status.state == StepState::held;
        card.lines.push_back({mark, line_words(context, job, status)});
    }
    card.here = card.here || (next && next->pos == pos);
    if (pos.empty()) {
        card.title =
            context.words->say(job.plan.job.positions.size() > 1 ? "sheet.whole_shaft" : "sheet.whole_job");
        return card;
    }
    const std::string title = place_title(context, job.plan, pos);
    const std::string role  = title.substr(title.rfind("· ") + std::string("· ").size());
    card.title              = pos + " " + role;
    if (job.plan.job.positions.size() > 1 && !job.plan.tightening_order.empty() &&
        job.plan.tightening_order.front() == pos)
        card.title += context.words->say("sheet.first");
    return card;
}

look::Symbol symbol_of(LineMark mark)
{
    switch (mark) {
    case LineMark::done:
        return look::Symbol::inside;
    case LineMark::here:
        return look::Symbol::here;
    case LineMark::held:
        return look::Symbol::held;
    case LineMark::skipped:
        return look::Symbol::undecided;
    case LineMark::todo:
        return look::Symbol::not_done;
    }
    return look::Symbol::none;
}

/// More steps than lines: what is done and what comes later are counted, the ones around the present are
/// told.
std::vector<SheetLine> folded(const kit::Ui& ui, const std::vector<SheetLine>& lines, std::size_t most)
{
    if (lines.size() <= most) return lines;
    const auto past = [](const SheetLine& line) {
        return line.mark == LineMark::done || line.mark == LineMark::skipped;
    };
    std::size_t done = 0;
    while (done < lines.size() && past(lines[done]))
        ++done;
    if (most < 3) { // no room to count: only what is next
        const auto from = lines.begin() + static_cast<std::ptrdiff_t>(std::min(done, lines.size() - most));
        return {from, from + static_cast<std::ptrdiff_t>(most)};
    }
    // The last one done stays in sight.
    const std::size_t      first = std::min(done > 1 ? done - 1 : 0, lines.size() - (most - 1));
    std::vector<SheetLine> shown;
    if (first > 0) shown.push_back({LineMark::done, ui.say("sheet.done_before", {std::to_string(first)})});
    const std::size_t room = most - shown.size();
    const bool        cut  = lines.size() - first > room;
    for (std::size_t i = first; i < lines.size() && shown.size() < most - (cut ? 1 : 0); ++i)
        shown.push_back(lines[i]);
    if (cut)
        shown.push_back(
            {LineMark::todo, ui.say("sheet.more", {std::to_string(lines.size() - first - (room - 1))})});
    return shown;
}

bool draw_card(kit::Ui& ui, const Rect& box, const SheetCard& card)
{
    const std::string id     = "card." + (card.pos.empty() ? std::string("both") : card.pos);
    const bool        tapped = card.may_open && bool(ui.hit(id, box, {.says = card.title}));
    kit::card(ui.canvas(), box, card.here);
    const look::Owner owner(ui.canvas(), box);
    Rect              rest = box.inset(2.5F);
    const float       cap  = ui.canvas().cap_mm(Role::instruction_bold);
    ui.canvas().text_fitted({rest.x + 1.0F, rest.y + cap + 0.5F}, card.title,
                            {Role::instruction_bold, ui.palette().ink}, rest.w - 1.0F);
    rest.cut_top(cap + 2.0F);
    constexpr float kLine_mm = 7.0F;
    const auto  lines = folded(ui, card.lines, static_cast<std::size_t>(std::max(0.0F, rest.h) / kLine_mm));
    const float line  = std::min(9.0F, rest.h / static_cast<float>(std::max<std::size_t>(lines.size(), 1)));
    for (const SheetLine& entry : lines)
        kit::check_line(
            ui.canvas(), rest.cut_top(line),
            {.symbol        = symbol_of(entry.mark),
             .symbol_colour = entry.mark == LineMark::done ? std::optional(ui.palette().ink) : std::nullopt,
             .title         = entry.words,
             .first         = entry.mark == LineMark::here});
    return tapped;
}

/// Each sheet of the job once. Rule 9: the sheet stays the authority, the fitter is told to ask.
std::string check_of_sheets(const ViewContext& context, const engine::Plan& plan)
{
    std::set<std::string> agreeing;
    for (const auto& [pos, sheet] : plan.units) {
        const auto check = engine::check_sheet(engine::claims_of(sheet));
        if (check && check->answer == engine::SheetAnswer::disagrees) return check->sentence;
        if (check && check->answer == engine::SheetAnswer::agrees) agreeing.insert(sheet.code);
    }
    if (agreeing.empty()) return {};
    std::string codes;
    for (const std::string& code : agreeing)
        codes += (codes.empty() ? "" : ", ") + code;
    return context.words->say("sheet.agrees", {codes});
}

} // namespace

JobSheetView view_of(const ViewContext& context, const engine::JobState& job, const JobSheetState& state)
{
    (void)state;
    const look::Words&      words    = *context.words;
    const engine::Progress& progress = job.progress;
    JobSheetView            view;
    const auto              next = step_to_go_on(progress);
    view.heading = heading_of(context, words.say("sheet.title", {job.plan.job.title, job.plan.job.number}));
    view.shaft   = line_of(context, job, next ? next->pos : "");
    std::string place;
    for (const auto& position : job.plan.job.positions)
        view.cards.push_back(card_of(context, job, position.letter));
    view.cards.push_back(card_of(context, job, ""));
    view.check = check_of_sheets(context, job.plan);
    if (!progress.started) view.notice = words.say("sheet.notice");
    for (const engine::StepStatus& status : progress.steps)
        for (const std::string& advice : status.assessment.advice)
            view.advice.push_back(advice);
    view.kit    = words.say("sheet.kit");
    view.record = words.say("sheet.record");
    view.back   = words.say("bar.back");
    if (!next) {
        view.main_title = words.say(progress.closed ? "sheet.closed" : "sheet.waiting");
        view.main_sub   = words.say("sheet.read_record");
        return view;
    }
    const std::string& pos = next->pos;
    view.main_on           = true;
    view.main_title        = !progress.started ? words.say("sheet.start")
                             : pos.empty()     ? words.say("sheet.carry_on")
                                               : words.say("sheet.carry_on_at", {pos});
    view.main_sub          = words.say("sheet.step_is", {step_words(context, job.plan, *next, "next")});
    return view;
}

namespace {

void draw_note(kit::Ui& ui, Rect& body, const std::string& note)
{
    if (note.empty()) return;
    const float height = ui.canvas().wrapped_height_mm(body.w, note, Role::label) + 2.0F;
    ui.canvas().text_wrapped(body.cut_bottom(height, 1.5F), note,
                             {Role::label, ui.palette().soft, look::Across::left, look::Upright::top});
}

} // namespace

JobSheetAsk draw(kit::Ui& ui, JobSheetState& state, const JobSheetView& view)
{
    using Kind = JobSheetAsk::Kind;
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const auto tap  = kit::main_bar(ui, {.side = {{"back", {.title = view.back}},
                                                  {"kit", {.title = view.kit}},
                                                  {"record", {.title = view.record}}},
                                         .main = {view.main_title, view.main_sub, view.main_on}});
    Rect       body = ui.areas().body;
    body.y -= 6.0F, body.h += 6.0F;
    drawing::draw(ui.canvas(), body.cut_top(ui.portrait() ? 30.0F : 33.0F, 2.0F), view.shaft);
    const std::string& below = !view.notice.empty()  ? view.notice
                               : view.advice.empty() ? view.check
                                                     : view.advice.front();
    draw_note(ui, body, below);
    if (&below != &view.check) draw_note(ui, body, view.check);
    JobSheetAsk ask;
    const int   columns = ui.portrait() ? 1 : 3;
    const int   rows    = 1;
    const int   fit     = columns * rows;
    const bool  paged   = static_cast<int>(view.cards.size()) > fit;
    Rect        pager   = paged ? body.cut_bottom(kit::kTarget, kit::kGap) : Rect{};
    Pages       pages{.per_page = fit, .count = (static_cast<int>(view.cards.size()) + fit - 1) / fit};
    if (state.page < 0) { // opens on the card in hand
        state.page = 0;
        for (std::size_t i = 0; i < view.cards.size(); ++i)
            if (view.cards[i].here) state.page = static_cast<int>(i) / fit;
    }
    state.page = std::clamp(state.page, 0, pages.count - 1);
    pages.page = state.page;
    if (paged) draw_pager(ui, pager, pages, state.page);
    for (int i = 0; i < fit; ++i) {
        const std::size_t at = pages.first() + static_cast<std::size_t>(i);
        if (at >= view.cards.size()) break;
        if (draw_card(ui, look::cell(body, {columns, rows, kit::kGap}, i), view.cards[at]))
            ask = {Kind::open_card, view.cards[at].pos};
    }
    if (tap.is("back")) ask.kind = Kind::back;
    if (tap.is("kit")) ask.kind = Kind::kit;
    if (tap.is("record")) ask.kind = Kind::record;
    if (tap.main) ask.kind = Kind::carry_on;
    return ask;
}

} // namespace field::screens
