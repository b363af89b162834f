#include "field/look/canvas.h"

#include "field/look/polygon.h"

#include <imgui.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace field::look {
namespace {

ImU32 packed(Colour c)
{
    return IM_COL32(c.r, c.g, c.b, c.a);
}

// Dear ImGui 1.92.8 swapped thickness and flags; this is the only place that knows.
void add_polyline(ImDrawList& list, const std::vector<ImVec2>& points, Stroke stroke_in_px, bool closed)
{
    const ImDrawFlags flags = closed ? ImDrawFlags_Closed : ImDrawFlags_None;
    const int         count = static_cast<int>(points.size());
#if IMGUI_VERSION_NUM >= 19280
    list.AddPolyline(points.data(), count, packed(stroke_in_px.colour), stroke_in_px.width_mm, flags);
#else
    list.AddPolyline(points.data(), count, packed(stroke_in_px.colour), flags, stroke_in_px.width_mm);
#endif
}

void add_rect(ImDrawList& list, ImVec2 low, ImVec2 high, float corner, Stroke stroke_in_px)
{
#if IMGUI_VERSION_NUM >= 19280
    list.AddRect(low, high, packed(stroke_in_px.colour), corner, stroke_in_px.width_mm, ImDrawFlags_None);
#else
    list.AddRect(low, high, packed(stroke_in_px.colour), corner, ImDrawFlags_None, stroke_in_px.width_mm);
#endif
}

float distance(Point a, Point b)
{
    return std::hypot(b.x - a.x, b.y - a.y);
}

/// A level or upright line lies on whole pixels, or it looks grey and wide.
float snapped(float centre_px, float width_px)
{
    const bool odd = std::lround(width_px) % 2 == 1;
    return odd ? std::floor(centre_px) + 0.5F : std::round(centre_px);
}

struct Corners {
    ImVec2 low;
    ImVec2 high;
};
Corners corners_of(const Rect& r, float scale)
{
    return {ImVec2(std::round(r.x * scale), std::round(r.y * scale)),
            ImVec2(std::round(r.right() * scale), std::round(r.bottom() * scale))};
}

} // namespace

Canvas::Canvas(ImDrawList& list, const Theme& theme, const Type& type, FrameLedger& ledger)
    : list_(list), theme_(theme), type_(type), ledger_(ledger), clips_{ledger.screen}
{
}

void Canvas::stroke_px(std::span<const Point> points, Stroke stroke, bool closed)
{
    if (points.size() < 2) return;
    float               width = std::max(1.0F, px(stroke.width_mm));
    std::vector<ImVec2> at;
    at.reserve(points.size());
    for (const Point p : points)
        at.emplace_back(px(p.x), px(p.y));
    if (points.size() == 2) {
        const bool level   = std::abs(at[0].y - at[1].y) < 0.01F;
        const bool upright = std::abs(at[0].x - at[1].x) < 0.01F;
        if (level || upright) width = std::round(width);
        if (level) at[0].y = at[1].y = snapped(at[0].y, width);
        if (upright) at[0].x = at[1].x = snapped(at[0].x, width);
    }
    add_polyline(list_, at, {stroke.colour, width}, closed);
}

void Canvas::line(Point from, Point to, Stroke stroke)
{
    stroke_px(std::array{from, to}, stroke, false);
}

void Canvas::polyline(std::span<const Point> points, Stroke stroke)
{
    stroke_px(points, stroke, false);
}

void Canvas::outline(std::span<const Point> points, Stroke stroke)
{
    stroke_px(points, stroke, true);
}

void Canvas::fill(std::span<const Point> polygon, Colour colour)
{
    if (polygon.size() < 3) return;
    // The soft edge of a filled shape is only right when its corners run clockwise on the glass.
    std::vector<Point> shape(polygon.begin(), polygon.end());
    if (doubled_area(shape) < 0) std::reverse(shape.begin(), shape.end());
    std::vector<ImVec2> at;
    at.reserve(shape.size());
    for (const Point p : shape)
        at.emplace_back(px(p.x), px(p.y));
    if (is_convex(shape)) {
        list_.AddConvexPolyFilled(at.data(), static_cast<int>(at.size()), packed(colour));
        return;
    }
    const auto triangles = triangles_of(shape);
    if (triangles.empty()) return;
    list_.PrimReserve(static_cast<int>(triangles.size() * 3), static_cast<int>(at.size()));
    const auto   first = static_cast<ImDrawIdx>(list_._VtxCurrentIdx);
    const ImVec2 white = ImGui::GetFontTexUvWhitePixel();
    for (const ImVec2& p : at)
        list_.PrimWriteVtx(p, white, packed(colour));
    for (const auto& t : triangles)
        for (const std::size_t corner : t)
            list_.PrimWriteIdx(static_cast<ImDrawIdx>(first + corner));
    if (colour.a == 255) add_polyline(list_, at, {colour, 1.0F}, true); // softens the stepped edge
}

void Canvas::rect(const Rect& r, Colour colour, float corner_mm)
{
    const Corners c = corners_of(r, theme_.px_per_mm);
    if (c.high.x <= c.low.x || c.high.y <= c.low.y) return;
    list_.AddRectFilled(c.low, c.high, packed(colour), px(corner_mm));
}

void Canvas::frame(const Rect& r, Stroke stroke, float corner_mm)
{
    const Corners c     = corners_of(r, theme_.px_per_mm);
    const float   width = std::max(1.0F, std::round(px(stroke.width_mm)));
    const float   in    = width / 2 - 0.5F; // AddRect itself steps in by half a pixel
    add_rect(list_, ImVec2(c.low.x + in, c.low.y + in), ImVec2(c.high.x - in, c.high.y - in),
             std::max(0.0F, px(corner_mm) - width / 2), {stroke.colour, width});
}

void Canvas::circle(Point centre, float radius_mm, Colour colour)
{
    list_.AddCircleFilled(ImVec2(px(centre.x), px(centre.y)), px(radius_mm), packed(colour));
}

void Canvas::circle_line(Point centre, float radius_mm, Stroke stroke)
{
    arc({centre, radius_mm, 0, 360}, stroke);
}

void Canvas::arc(const Arc& arc, Stroke stroke)
{
    const float span = std::min(360.0F, arc.to_deg - arc.from_deg);
    if (span <= 0 || arc.radius_mm <= 0) return;
    const bool  whole = span > 359.99F;
    const float outer = px(arc.radius_mm + stroke.width_mm / 2);
    // A chord may leave the circle by a tenth of a pixel.
    const float step   = std::clamp(std::sqrt(0.8F / std::max(1.0F, outer)), 0.01F, 0.5F);
    const int   parts  = std::max(3, static_cast<int>(std::ceil(radians(span) / step)));
    const auto  circle = [&](float radius_mm) {
        std::vector<Point> points;
        for (int i = 0; i <= parts - (whole ? 1 : 0); ++i)
            points.push_back(
                 on_circle(arc.centre, radius_mm,
                           arc.from_deg + span * static_cast<float>(i) / static_cast<float>(parts)));
        return points;
    };
    if (px(stroke.width_mm) < 4.0F) return stroke_px(circle(arc.radius_mm), stroke, whole);
    const float half = stroke.width_mm / 2 - mm(0.5F); // the soft edge adds the rest
    band(circle(arc.radius_mm + half), circle(arc.radius_mm - half), stroke.colour, whole);
}

/// Fills between two lines of equally many points; ends are cut from the last to the last.
void Canvas::band(const std::vector<Point>& one, const std::vector<Point>& other, Colour colour, bool closed)
{
    const int n     = static_cast<int>(one.size());
    const int quads = closed ? n : n - 1;
    if (n < 2 || one.size() != other.size()) return;
    list_.PrimReserve(quads * 6, n * 2);
    const auto   first = static_cast<int>(list_._VtxCurrentIdx);
    const ImVec2 white = ImGui::GetFontTexUvWhitePixel();
    for (const auto* side : {&one, &other})
        for (const Point p : *side)
            list_.PrimWriteVtx(ImVec2(px(p.x), px(p.y)), white, packed(colour));
    for (int i = 0; i < quads; ++i) {
        const int next = (i + 1) % n;
        for (const int corner : {i, next, n + next, i, n + next, n + i})
            list_.PrimWriteIdx(static_cast<ImDrawIdx>(first + corner));
    }
    if (closed) {
        stroke_px(one, {colour, 0}, true);
        stroke_px(other, {colour, 0}, true);
        return;
    }
    std::vector<Point> edge = one;
    edge.insert(edge.end(), other.rbegin(), other.rend());
    stroke_px(edge, {colour, 0}, true);
}

void Canvas::pattern(std::span<const Point> points, Stroke stroke, std::span<const float> marks_mm)
{
    std::size_t        mark = 0;
    float              left = marks_mm[0];
    std::vector<Point> run;
    const auto         flush = [&] {
        if (run.size() > 1 && mark % 2 == 0) stroke_px(run, stroke, false);
        run.clear();
    };
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
        Point at   = points[i];
        float rest = distance(at, points[i + 1]);
        run.push_back(at);
        while (rest > left) {
            at = at + (points[i + 1] - at) * (left / rest);
            rest -= left;
            run.push_back(at);
            flush();
            mark = (mark + 1) % marks_mm.size();
            left = marks_mm[mark];
            run.push_back(at);
        }
        left -= rest;
    }
    if (!points.empty()) run.push_back(points.back());
    flush();
}

void Canvas::dashed(std::span<const Point> points, Stroke stroke, Dash dash)
{
    if (points.size() > 1)
        pattern(points, stroke, std::array{std::max(0.2F, dash.on_mm), std::max(0.2F, dash.off_mm)});
}

void Canvas::dashed(Point from, Point to, Stroke stroke, Dash dash)
{
    dashed(std::array{from, to}, stroke, dash);
}

void Canvas::centre_line(Point from, Point to, Colour colour)
{
    pattern(std::array{from, to}, {colour, 0.2F}, std::array{5.0F, 1.0F, 1.0F, 1.0F});
}

void Canvas::hatch(std::span<const Point> polygon, const Hatch& hatch)
{
    for (const auto& [from, to] : section_lines(polygon, hatch.gap_mm, hatch.leans_left))
        stroke_px(std::array{from, to}, hatch.stroke, false);
}

void Canvas::arrow_head(Point tip, Point from, Colour colour, float length_mm)
{
    const float whole = distance(from, tip);
    if (whole <= 0) return;
    const Point along  = (tip - from) * (length_mm / whole);
    const Point across = Point{-along.y, along.x} * 0.46F;
    fill(std::array{tip, tip - along + across, tip - along - across}, colour);
}

void Canvas::arrow(Point from, Point to, Stroke stroke)
{
    const float whole = distance(from, to);
    const float head  = std::min(whole, std::max(2.2F, stroke.width_mm * 4.6F));
    if (whole <= 0) return;
    line(from, to - (to - from) * (0.9F * head / whole), stroke);
    arrow_head(to, from, stroke.colour, head);
}

void Canvas::dimension(Point from, Point to, std::string_view words, Role role)
{
    const Stroke thin{palette().ink, 0.25F};
    const float  whole = distance(from, to);
    if (whole <= 0) return;
    const Point along  = (to - from) * (1 / whole);
    const Point across = Point{-along.y, along.x} * 1.8F;
    line(from - across, from + across, thin);
    line(to - across, to + across, thin);
    if (whole > 9.0F) {
        line(from, to, thin);
        arrow_head(from, to, palette().ink, 2.2F);
        arrow_head(to, from, palette().ink, 2.2F);
    } else { // too narrow: the arrows point in from outside
        line(from - along * 4.0F, from, thin);
        line(to + along * 4.0F, to, thin);
        arrow_head(from, from - along, palette().ink, 2.2F);
        arrow_head(to, to + along, palette().ink, 2.2F);
    }
    const Point middle = (from + to) * 0.5F;
    if (std::abs(along.x) >= std::abs(along.y))
        text({middle.x, middle.y - 2.4F}, words, {role, palette().ink, Across::centre, Upright::baseline});
    else
        text({middle.x + 2.4F, middle.y}, words, {role, palette().ink, Across::left, Upright::middle});
}

void Canvas::leader(Point part, Point at, std::string_view words, Across side)
{
    const Point end{side == Across::right ? at.x + 1.0F : at.x - 1.0F, at.y};
    line(part, end, {palette().ink, 0.2F});
    circle(part, 0.6F, palette().ink);
    text(at, words, {Role::label, palette().ink, side, Upright::middle});
}

void Canvas::image(Texture texture, const Rect& r)
{
    if (!texture || texture.w_px <= 0 || texture.h_px <= 0) return;
    const Corners c       = corners_of(r, theme_.px_per_mm);
    const float   box     = (c.high.x - c.low.x) / std::max(1.0F, c.high.y - c.low.y);
    const float   picture = static_cast<float>(texture.w_px) / static_cast<float>(texture.h_px);
    const float   cut_x   = picture > box ? (1 - box / picture) / 2 : 0;
    const float   cut_y   = picture < box ? (1 - picture / box) / 2 : 0;
#if IMGUI_VERSION_NUM >= 19140
    const auto id = static_cast<ImTextureID>(texture.id);
#else
    // NOLINTNEXTLINE(performance-no-int-to-ptr): older versions carry the number in a pointer
    ImTextureID id = reinterpret_cast<ImTextureID>(texture.id);
#endif
    list_.AddImage(id, c.low, c.high, ImVec2(cut_x, cut_y), ImVec2(1 - cut_x, 1 - cut_y));
}

void Canvas::push_panel(const Rect& r)
{
    panels_.push_back(r);
    ledger_.panels.push_back(r);
}

void Canvas::push_clip(const Rect& r)
{
    const Corners c   = corners_of(r, theme_.px_per_mm);
    const Rect&   old = clips_.back();
    const float   x   = std::max(old.x, r.x);
    const float   y   = std::max(old.y, r.y);
    clips_.push_back({x, y, std::max(0.0F, std::min(old.right(), r.right()) - x),
                      std::max(0.0F, std::min(old.bottom(), r.bottom()) - y)});
    list_.PushClipRect(c.low, c.high, true);
}

void Canvas::pop_clip()
{
    list_.PopClipRect();
    clips_.pop_back();
}

} // namespace field::look
