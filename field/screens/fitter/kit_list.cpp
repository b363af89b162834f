#include "field/screens/fitter/kit_list.h"

#include "field/kit/main_bar.h"
#include "field/look/symbols.h"
#include "field/screens/fitter/step_view.h"
#include "field/screens/page.h"
#include "field/screens/pager.h"

#include <algorithm>
#include <map>
#include <set>

namespace field::screens {

using engine::Tool;
using look::Rect;
using look::Role;

namespace {

/// What an instrument must reach in this job, in the unit the sheets give it in.
struct Reach {
    engine::UnitOf     unit = engine::UnitOf::mm;
    double             low = 1e9, high = -1e9;
    void               take(double value) { low = std::min(low, value), high = std::max(high, value); }
    [[nodiscard]] bool known() const { return low <= high; }
};

bool reaches(const engine::Instrument& instrument, const Reach& reach)
{
    const auto in_its_unit = [&](double value) {
        return engine::from_si(engine::to_si(value, reach.unit), instrument.unit);
    };
    return instrument.low <= in_its_unit(reach.high) && instrument.high >= in_its_unit(reach.low);
}

std::optional<double> expected(const engine::UnitSheet& unit, const std::string& limits)
{
    if (limits == "seat") return unit.shaft.value;
    if (limits == "shim" && unit.shim) return unit.shim->value;
    if (limits == "bolt_torque") return unit.bolt_torque.value;
    if (limits == "cap_torque" && unit.cap_torque) return unit.cap_torque->value;
    return std::nullopt;
}

std::map<Tool, Reach> tools_needed(const engine::JobState& job)
{
    std::map<Tool, Reach> needed;
    for (const engine::PlanStep& planned : job.plan.steps) {
        for (const engine::Ask& ask : planned.step.asks) {
            if (!ask.tool) continue;
            Reach& reach = needed[*ask.tool];
            if (ask.limits.ends_with("torque")) reach.unit = engine::UnitOf::newton_metre;
            if (const engine::UnitSheet* unit = job.plan.unit(planned.ref.pos))
                if (const auto value = expected(*unit, ask.limits)) reach.take(*value);
        }
    }
    return needed;
}

KitLine instrument_line(const ViewContext& context, Tool tool, const Reach& reach)
{
    const look::Words& words = *context.words;
    KitLine            line{.what = words.say("tool." + std::string(engine::name_of(tool)))};
    std::string        tags;
    for (const std::string& tag : tools_for(context, tool, {})) {
        const engine::Instrument* instrument = context.catalogue->instrument(tag);
        if (!reach.known() || reaches(*instrument, reach)) tags += (tags.empty() ? "" : ", ") + tag;
    }
    if (reach.known()) {
        // Thin shims need their hundredths.
        const int         decimals = reach.high < 5.0 ? 2 : 0;
        const std::string low      = engine::fixed(reach.low, decimals);
        const std::string symbol   = " " + std::string(engine::unit_symbol(reach.unit));
        const std::string high     = engine::fixed(reach.high, decimals);
        line.what += " · " + (low == high ? words.say("kit.reach", {high + symbol})
                                          : words.say("kit.reach_range", {low, high + symbol}));
    }
    line.trouble = tags.empty();
    line.detail  = line.trouble ? words.say("kit.none_fits") : tags;
    return line;
}

/// Things without a tag, by what the plan's steps do.
void add_things(KitListView& view, const ViewContext& context, const engine::JobState& job)
{
    const look::Words& words = *context.words;
    const auto         add   = [&](const std::string& id) {
        view.lines.push_back({words.say(id), words.say(id + "_for"), false});
    };
    for (const char* id :
         {"kit.lock", "kit.lifting", "kit.cleaning", "kit.blade", "kit.spanner", "kit.marker"})
        add(id);
    std::set<std::string> shims;
    double                grease_g = 0;
    for (const engine::PlanStep& planned : job.plan.steps) {
        const engine::UnitSheet* unit = job.plan.unit(planned.ref.pos);
        if (unit == nullptr) continue;
        if (planned.step.screen == "shims" && unit->shim) shims.insert(engine::fixed(unit->shim->value, 2));
        if (planned.step.screen == "grease") grease_g += unit->grease.value;
    }
    for (const std::string& shim : shims)
        view.lines.push_back({words.say("kit.shims", {shim}), words.say("kit.shims_for"), false});
    if (grease_g > 0)
        view.lines.push_back(
            {words.say("kit.grease", {engine::fixed(grease_g, 0)}), words.say("kit.grease_for"), false});
}

} // namespace

KitListView view_of(const ViewContext& context, const engine::JobState& job, const KitListState& /*state*/)
{
    KitListView view;
    view.heading =
        heading_of(context, context.words->say("sheet.title", {job.plan.job.title, job.plan.job.number}));
    view.title    = context.words->say("kit.title");
    view.back     = context.words->say("kit.back");
    view.back_sub = context.words->say("kit.back_sub");
    for (const engine::Position& position : job.plan.job.positions)
        if (const auto* unit = job.plan.unit(position.letter))
            view.lines.push_back({context.words->say("kit.unit", {position.letter, unit->code}),
                                  context.words->say("kit.sheet", {unit->revision}), false});
    for (const auto& [tool, reach] : tools_needed(job))
        view.lines.push_back(instrument_line(context, tool, reach));
    add_things(view, context, job);
    std::stable_sort(view.lines.begin(), view.lines.end(),
                     [](const KitLine& a, const KitLine& b) { return a.trouble && !b.trouble; });
    return view;
}

KitListAsk draw(kit::Ui& ui, KitListState& state, const KitListView& view)
{
    look::Canvas& canvas = ui.canvas();
    kit::strip(ui, {view.heading.title, view.heading.status, view.heading.clock});
    const auto tap  = kit::main_bar(ui, {.side = {}, .main = {view.back, view.back_sub, true}});
    Rect       body = page_body(ui, false);
    page_title(ui, body, view.title);
    const int         columns = ui.portrait() ? 1 : 2;
    const float       line_mm = 14.0F;
    const std::size_t lines =
        (view.lines.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
    Pages pages = pages_of(lines, body.h, line_mm, state.page, 1.0F);
    if (pages.count > 1) draw_pager(ui, body.cut_bottom(kit::kTarget, 2.0F), pages, state.page);
    const float width = (body.w - 4.0F * static_cast<float>(columns - 1)) / static_cast<float>(columns);
    for (int i = 0; i < pages.per_page * columns; ++i) {
        const std::size_t at =
            pages.first() * static_cast<std::size_t>(columns) + static_cast<std::size_t>(i);
        if (at >= view.lines.size()) break;
        const KitLine&    line = view.lines[at];
        const int         down = i / columns, across = i % columns;
        const Rect        row{body.x + static_cast<float>(across) * (width + 4.0F),
                       body.y + static_cast<float>(down) * (line_mm + 1.0F), width, line_mm};
        const look::Owner owner(canvas, row);
        look::draw_symbol(canvas, line.trouble ? look::Symbol::undecided : look::Symbol::not_done,
                          {row.x + 3.0F, row.y + row.h / 2}, 5.5F);
        canvas.text_fitted({row.x + 8.5F, row.y + 5.2F}, line.what, {Role::label_bold, ui.palette().ink},
                           row.w - 9.0F);
        canvas.text_fitted({row.x + 8.5F, row.y + 11.4F}, line.detail,
                           {Role::label, line.trouble ? ui.palette().watch : ui.palette().soft},
                           row.w - 9.0F);
    }
    return tap.main ? KitListAsk::back : KitListAsk::nothing;
}

} // namespace field::screens
