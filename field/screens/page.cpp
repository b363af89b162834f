#include "field/screens/page.h"

#include "field/look/symbols.h"

#include <algorithm>

namespace field::screens {

using look::Rect;
using look::Role;

namespace {

void write(kit::Ui& ui, Rect& box, const std::string& text, const look::TextStyle& style)
{
    if (text.empty()) return;
    box.cut_top(ui.canvas().text_wrapped(box, text, style) + kAfterTitle_mm);
}

} // namespace

Rect page_body(const kit::Ui& ui, bool side_buttons)
{
    const kit::ScreenAreas& areas = ui.areas();
    Rect                    body  = areas.body;
    body.y                        = areas.strip.bottom() + 2.0F; // no steel rule on these pages
    const bool  to_main           = areas.portrait && !side_buttons;
    const float bottom            = to_main ? areas.main.y - kit::kGap : areas.body.bottom();
    body.h                        = bottom - body.y;
    return body;
}

void page_title(kit::Ui& ui, Rect& box, const std::string& title)
{
    write(ui, box, title, {Role::title, ui.palette().ink, look::Across::left, look::Upright::top});
}

void page_line(kit::Ui& ui, Rect& box, const std::string& line)
{
    write(ui, box, line, {Role::instruction, ui.palette().soft, look::Across::left, look::Upright::top});
}

void page_note(kit::Ui& ui, Rect& box, const std::string& note)
{
    write(ui, box, note, {Role::label, ui.palette().soft, look::Across::left, look::Upright::top});
}

void page_refusal(kit::Ui& ui, Rect& box, const std::string& why)
{
    if (why.empty()) return;
    constexpr float kSymbol_mm = 6.0F;
    look::draw_symbol(ui.canvas(), look::Symbol::outside, {box.x + kSymbol_mm / 2, box.y + 2.0F}, kSymbol_mm);
    const Rect words{box.x + kSymbol_mm + 2.5F, box.y, box.w - kSymbol_mm - 2.5F, box.h};
    const auto used = ui.canvas().text_wrapped(
        words, why, {Role::label, ui.palette().outside, look::Across::left, look::Upright::top});
    box.cut_top(std::max(used, kSymbol_mm - 1.0F) + kAfterTitle_mm);
}

std::string without_sources(const std::string& sentence)
{
    std::string out = sentence;
    const auto  cut = [&out](std::size_t first, std::size_t last) {
        if (first > 0 && out[first - 1] == ' ') --first;
        out.erase(first, last - first + 1);
    };
    // A round bracket that names a source goes whole; a source outside one goes alone.
    for (std::size_t open = out.find('('); open != std::string::npos; open = out.find('(', open + 1)) {
        const std::size_t close = out.find(')', open);
        if (close == std::string::npos) break;
        if (out.substr(open, close - open).find('[') == std::string::npos) continue;
        cut(open, close);
        open = 0;
    }
    for (std::size_t open = out.find('['); open != std::string::npos; open = out.find('[')) {
        const std::size_t close = out.find(']', open);
        if (close == std::string::npos) break;
        cut(open, close);
    }
    return out;
}

} // namespace field::screens
