#include "field/screens/fitter/step.h"

#include "field/kit/value_cell.h"
#include "field/look/symbols.h"
#include "field/screens/fitter/keypad_pane.h"
#include "field/screens/step_parts.h"

#include <algorithm>

namespace field::screens {

using engine::AskKind;
using look::Rect;
using look::Role;

namespace {

constexpr float kLine_mm  = 8.0F; ///< one answered ask
constexpr float kLabel_mm = 6.0F; ///< the question above its answers

/// Cells that are asked together: one choice, one code, or the readings that follow each other.
struct Group {
    std::size_t first = 0, count = 0;
    AskKind     kind = AskKind::reading;
};

std::vector<Group> groups_of(const StepView& view)
{
    std::vector<Group> groups;
    for (std::size_t i = 0; i < view.cells.size(); ++i) {
        const CellView& cell = view.cells[i];
        if (!groups.empty() && groups.back().kind == AskKind::reading && cell.kind == AskKind::reading)
            ++groups.back().count;
        else
            groups.push_back({i, 1, cell.kind});
    }
    return groups;
}

bool given(const StepView& view, const Group& group)
{
    return std::all_of(view.cells.begin() + static_cast<std::ptrdiff_t>(group.first),
                       view.cells.begin() + static_cast<std::ptrdiff_t>(group.first + group.count),
                       [](const CellView& cell) { return cell.given || cell.optional; });
}

/// A long log shows the cells to fill next and the last one filled.
std::vector<std::size_t> window_of(const StepView& view, const Group& group)
{
    std::vector<std::size_t> shown;
    constexpr std::size_t    kMost = 6;
    std::size_t              start = group.first;
    if (group.count > kMost && view.open_cell && *view.open_cell > group.first) start = *view.open_cell - 1;
    start = std::min(start, group.first + group.count - std::min(group.count, kMost));
    for (std::size_t i = start; i < group.first + group.count && shown.size() < kMost; ++i)
        shown.push_back(i);
    return shown;
}

float group_height(const StepView& view, const Group& group)
{
    if (group.kind == AskKind::choice) {
        const std::size_t options = view.cells[group.first].options.size();
        const std::size_t lines   = options <= 3 ? 1 : (options + 2) / 3;
        const auto        rows    = static_cast<float>(lines);
        return kLabel_mm + rows * kit::kTarget + (rows - 1) * kit::kGap;
    }
    const std::size_t shown   = window_of(view, group).size();
    const std::size_t columns = shown <= 2 ? shown : shown == 4 ? 2 : 3;
    const std::size_t lines   = (shown + columns - 1) / std::max<std::size_t>(columns, 1);
    const auto        rows    = static_cast<float>(lines);
    return rows * kit::kTarget + (rows - 1) * kit::kGap;
}

StepAsk draw_choice(kit::Ui& ui, const Rect& box, const CellView& cell, bool may_answer)
{
    look::Canvas& canvas = ui.canvas();
    canvas.text_fitted({box.x, box.y + canvas.cap_mm(Role::label)}, cell.label,
                       {Role::label, ui.palette().soft}, box.w);
    Rect       rest    = box;
    const auto options = static_cast<int>(cell.options.size());
    rest.cut_top(kLabel_mm);
    const look::Grid grid{options <= 3 ? options : 3, options <= 3 ? 1 : (options + 2) / 3, kit::kGap};
    StepAsk          ask;
    for (int i = 0; i < options; ++i) {
        const OptionView& option = cell.options[static_cast<std::size_t>(i)];
        kit::ButtonSpec   spec{.title   = option.words,
                               .kind    = option.chosen ? kit::ButtonKind::chosen : kit::ButtonKind::quiet,
                               .enabled = may_answer};
        if (options > 2) spec.role = Role::label;
        if (kit::button(ui, "choice." + cell.ask + "." + option.value, look::cell(rest, grid, i), spec))
            ask = {.kind = StepAsk::Kind::choice, .ask = cell.ask, .slot = "", .value = option.value};
    }
    return ask;
}

/// Reading and code cells; a tap opens the keypad for it.
std::optional<AskSlot> draw_cells(kit::Ui& ui, const Rect& box, const StepView& view, const Group& group,
                                  bool may_answer)
{
    const auto shown   = window_of(view, group);
    const int  columns = shown.size() <= 2 ? static_cast<int>(shown.size()) : shown.size() == 4 ? 2 : 3;
    const int  rows    = (static_cast<int>(shown.size()) + columns - 1) / columns;
    std::optional<AskSlot> tapped;
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const CellView& cell = view.cells[shown[i]];
        const Rect      at   = look::cell(box, {columns, rows, kit::kGap}, static_cast<int>(i));
        kit::ValueCell  drawn{.label = cell.label,
                              .value = cell.given && !cell.unit.empty() ? cell.value + " " + cell.unit
                                                                        : cell.value};
        drawn.prompt  = cell.unit.empty() ? "…" : cell.unit;
        drawn.verdict = shown_verdict(cell.verdict, cell.given);
        drawn.open    = may_answer && view.open_cell == shown[i];
        if (may_answer && ui.hit(cell.id, at, {.says = cell.label})) tapped = AskSlot{cell.ask, cell.slot};
        kit::value_cell(ui.canvas(), at, drawn);
    }
    return tapped;
}

/// An answered ask as one quiet line.
void draw_answered(kit::Ui& ui, const Rect& line, const CellView& cell)
{
    look::Canvas& canvas = ui.canvas();
    std::string   value  = cell.value;
    for (const OptionView& option : cell.options)
        if (option.chosen) value = option.words;
    const auto  verdict = shown_verdict(cell.verdict, cell.given);
    const auto  symbol  = !verdict                               ? look::Symbol::inside
                          : *verdict == engine::Verdict::outside ? look::Symbol::outside
                                                                 : look::Symbol::undecided;
    const float base    = line.y + line.h / 2;
    look::draw_symbol(canvas, symbol, {line.x + 2.2F, base}, 4.4F,
                      verdict ? std::nullopt : std::optional(ui.palette().ink));
    if (!cell.unit.empty()) value += " " + cell.unit;
    const float width = canvas.text_width(value, Role::label);
    canvas.text({line.right(), base}, value,
                {Role::label, ui.palette().ink, look::Across::right, look::Upright::middle});
    canvas.text_fitted({line.x + 6.5F, base}, cell.label,
                       {Role::label, ui.palette().soft, look::Across::left, look::Upright::middle},
                       line.w - width - 9.0F);
}

struct AskArea {
    StepAsk                ask;
    std::optional<AskSlot> open;
};

/// The ask in hand at the bottom, answered ones as lines above it, figures while there is room.
AskArea draw_asks(kit::Ui& ui, Rect box, const StepView& view)
{
    AskArea    result;
    const bool may = view.state == engine::StepState::open || view.state == engine::StepState::held;
    const auto all = groups_of(view);
    auto hand = std::find_if(all.begin(), all.end(), [&](const Group& group) { return !given(view, group); });
    if (hand == all.end() && !all.empty())
        hand = all.end() - 1; // all given: the last stays open to a change of mind
    if (hand != all.end()) {
        const float height = group_height(view, *hand);
        const Rect  at     = box.cut_bottom(height, 2.5F);
        if (hand->kind == AskKind::choice)
            result.ask = draw_choice(ui, at, view.cells[hand->first], may);
        else
            result.open = draw_cells(ui, at, view, *hand, may);
    }
    for (auto group = all.begin(); group != hand && box.h >= kLine_mm; ++group)
        for (std::size_t i = group->first; i < group->first + group->count && box.h >= kLine_mm; ++i)
            if (group->kind != AskKind::reading || group->count == 1)
                draw_answered(ui, box.cut_top(kLine_mm), view.cells[i]);
    return result;
}

float figure_height(const FigureView& figure)
{
    return figure.gauge.low || figure.gauge.high ? 18.5F : 7.5F;
}

/// What the readings come to, once all are given: under the drawing (wide) or above the asks (upright).
void draw_figures(kit::Ui& ui, Rect box, const StepView& view)
{
    for (const FigureView& figure : view.figures)
        if (figure_height(figure) <= box.h + 0.5F) box.cut_top(figure_of_step(ui, box, figure));
}

/// Figures with limits first, the others as far as there is room.
float figures_height(const StepView& view, float room_mm)
{
    if (view.open_cell) return 0;
    float height = 0;
    for (const FigureView& figure : view.figures) {
        if (height + figure_height(figure) <= room_mm) height += figure_height(figure);
    }
    return height;
}

/// Height of the ask in hand.
float hand_height(const StepView& view)
{
    const auto all = groups_of(view);
    const auto hand =
        std::find_if(all.begin(), all.end(), [&](const Group& group) { return !given(view, group); });
    if (hand != all.end()) return group_height(view, *hand);
    return all.empty() ? 0.0F : group_height(view, all.back());
}

} // namespace

StepAsk draw_step(kit::Ui& ui, StepInHand& state, const StepView& full, const StepPicture& picture)
{
    if (state.typing) return draw_keypad_pane(ui, state, full, picture);
    StepView    view  = full;
    StepAsk     ask   = ask_of_bar(frame_of_step(ui, view), view);
    Rect        left  = ui.areas().left;
    Rect        right = ui.areas().right;
    const float hand  = hand_height(view);
    const float told  = trouble_height_mm(ui, right.w, state, view);
    if (told > 0) view.instruction.clear(); // why it cannot go on takes its place
    StepRoom room{ui.portrait() ? ui.areas().body : right, ui.portrait() ? nullptr : &left};
    make_room(ui, room, hand + told + 3.0F, view);
    if (ui.portrait()) {
        Rect body = room.words;
        body.cut_top(words_of_step(ui, body, view) + 1.0F);
        const auto  all     = groups_of(view);
        const float lines   = static_cast<float>(all.size() > 1 ? all.size() - 1 : 0) * kLine_mm;
        const float figures = figures_height(view, body.h * 0.25F);
        right               = body.cut_bottom(std::min(hand + lines + told + 3.0F, body.h), 2.0F);
        if (figures > 0 && body.h > figures) draw_figures(ui, body.cut_bottom(figures, 2.0F), view);
        left = body;
    } else {
        right.cut_top(words_of_step(ui, right, view) + 1.0F);
        if (const float figures = figures_height(view, 38.0F); figures > 0)
            draw_figures(ui, left.cut_bottom(figures, 2.0F), view);
    }
    right.cut_top(trouble_of_step(ui, right, state, view));
    if (left.h > 14.0F) picture(ui.canvas(), left);
    const AskArea asked = draw_asks(ui, right, view);
    if (asked.ask.kind != StepAsk::Kind::nothing) ask = asked.ask;
    if (asked.open)
        ask = {.kind = StepAsk::Kind::open_cell, .ask = asked.open->first, .slot = asked.open->second};
    return ask;
}

} // namespace field::screens
