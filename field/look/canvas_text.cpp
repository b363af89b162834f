// The written half of the canvas.
#include "field/look/canvas.h"

#include <imgui.h>
#include <imgui_internal.h>

#include <algorithm>
#include <cmath>

namespace field::look {
namespace {

/// Calls `visit(glyph, x_px)` for every letter; returns the width in px. `glyph` is null for a letter no font
/// has.
template <class Visit> float walk(const ImFont& font, std::string_view text, Visit visit)
{
    float       x   = 0;
    const char* at  = text.data();
    const char* end = at + text.size();
    while (at < end) {
        unsigned int code = 0;
        const int    used = ImTextCharFromUtf8(&code, at, end);
        if (used <= 0) break;
        at += used;
        const ImFontGlyph* glyph = font.FindGlyphNoFallback(static_cast<ImWchar>(code));
        visit(glyph, x);
        const ImFontGlyph* shown = glyph != nullptr ? glyph : font.FindGlyph(static_cast<ImWchar>(code));
        if (shown != nullptr) x += shown->AdvanceX;
    }
    return x;
}

float width_px(const ImFont& font, std::string_view text)
{
    return walk(font, text, [](const ImFontGlyph*, float) {});
}

/// The longest start of `text` that ends at a space and is at most `room_px` wide; at least one word.
std::string_view first_line(const ImFont& font, std::string_view text, float room_px)
{
    std::size_t end = 0;
    for (std::size_t at = 0; at <= text.size(); ++at) {
        const bool stop = at == text.size() || text[at] == ' ' || text[at] == '\n';
        if (!stop) continue;
        if (end > 0 && width_px(font, text.substr(0, at)) > room_px) break;
        end = at;
        if (at < text.size() && text[at] == '\n') break;
    }
    return text.substr(0, end);
}

template <class Visit> int each_line(const ImFont& font, std::string_view text, float room_px, Visit visit)
{
    int lines = 0;
    while (!text.empty()) {
        const std::string_view line = first_line(font, text, room_px);
        visit(line, lines++);
        text.remove_prefix(std::min(text.size(), line.size() + 1));
    }
    return lines;
}

} // namespace

void Canvas::record(Point origin_px, std::string_view text, Role role)
{
    const ImFont& font = *type_.font(role);
    TextSeen      seen;
    float         left = 1e9F, top = 1e9F, right = -1e9F, bottom = -1e9F;
    walk(font, text, [&](const ImFontGlyph* glyph, float x) {
        if (glyph == nullptr) {
            seen.gaps = true;
            return;
        }
        if (glyph->Visible == 0U) return;
        left   = std::min(left, x + glyph->X0);
        right  = std::max(right, x + glyph->X1);
        top    = std::min(top, glyph->Y0);
        bottom = std::max(bottom, glyph->Y1);
    });
    if (right < left && !seen.gaps) return; // only spaces
    if (right < left) left = top = right = bottom = 0;
    seen.text   = std::string(text);
    seen.cap_mm = type_.cap_mm(role);
    seen.ink    = {mm(origin_px.x + left), mm(origin_px.y + top), mm(right - left), mm(bottom - top)};
    seen.clip   = clips_.back();
    if (!owners_.empty()) seen.owner = owners_.back();
    if (!panels_.empty()) seen.panel = panels_.back();
    ledger_.texts.push_back(std::move(seen));
}

float Canvas::text(Point at, std::string_view text, const TextStyle& style)
{
    if (text.empty()) return 0;
    ImFont*     font  = type_.font(style.role);
    const float width = width_px(*font, text);
    const float cap   = px(type_.cap_mm(style.role));
    float       x     = px(at.x);
    float       base  = px(at.y);
    if (style.across == Across::centre) x -= width / 2;
    if (style.across == Across::right) x -= width;
    if (style.upright == Upright::middle) base += cap / 2;
    if (style.upright == Upright::top) base += cap;
    const Point origin{std::round(x), std::round(base - font->Ascent)};
    list_.AddText(font, font->FontSize, ImVec2(origin.x, origin.y),
                  IM_COL32(style.colour.r, style.colour.g, style.colour.b, style.colour.a), text.data(),
                  text.data() + text.size());
    record(origin, text, style.role);
    return mm(width);
}

float Canvas::text_fitted(Point at, std::string_view text, const TextStyle& style, float room_mm)
{
    if (text_width(text, style.role) <= room_mm) return this->text(at, text, style);
    std::string cut(text);
    while (!cut.empty() && text_width(cut + "\u2026", style.role) > room_mm) {
        do
            cut.pop_back();
        while (!cut.empty() && (static_cast<unsigned char>(cut.back()) & 0xC0U) == 0x80U);
        if (!cut.empty() && static_cast<unsigned char>(cut.back()) >= 0xC0U) cut.pop_back();
    }
    return this->text(at, cut + "\u2026", style);
}

float Canvas::text_wrapped(const Rect& box, std::string_view text, const TextStyle& style)
{
    const float cap  = type_.cap_mm(style.role);
    const float step = line_mm(style.role);
    float       x    = box.x;
    if (style.across == Across::centre) x = box.centre().x;
    if (style.across == Across::right) x = box.right();
    push_owner({box.x, box.y - 0.25F * cap, box.w, box.h + 0.25F * cap}); // "d" rises above a capital
    const int lines =
        each_line(*type_.font(style.role), text, px(box.w), [&](std::string_view line, int number) {
            const float base = box.y + cap + step * static_cast<float>(number);
            this->text({x, base}, line, {style.role, style.colour, style.across, Upright::baseline});
        });
    pop_owner();
    return lines == 0 ? 0 : cap + step * static_cast<float>(lines - 1);
}

float Canvas::wrapped_height_mm(float width_mm, std::string_view text, Role role) const
{
    const int lines = each_line(*type_.font(role), text, px(width_mm), [](std::string_view, int) {});
    return lines == 0 ? 0 : type_.cap_mm(role) + line_mm(role) * static_cast<float>(lines - 1);
}

float Canvas::text_width(std::string_view text, Role role) const
{
    return mm(width_px(*type_.font(role), text));
}

} // namespace field::look
