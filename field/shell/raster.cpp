#include "field/shell/raster.h"

#include <imgui.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <utility>

namespace field::shell {
namespace {

struct Box {
    int x0{};
    int y0{};
    int x1{};
    int y1{}; // one past
};

struct Corner {
    std::int64_t x{}; // 28.4
    std::int64_t y{};
    ImDrawVert   vertex;
};
using Triangle = std::array<Corner, 3>;

struct Rgba {
    int r{};
    int g{};
    int b{};
    int a{};
};

Corner fixed(const ImDrawVert& v)
{
    return {std::lround(v.pos.x * 16.0F), std::lround(v.pos.y * 16.0F), v};
}

Rgba unpack(ImU32 c)
{
    return {
        static_cast<int>((c >> IM_COL32_R_SHIFT) & 0xFFU), static_cast<int>((c >> IM_COL32_G_SHIFT) & 0xFFU),
        static_cast<int>((c >> IM_COL32_B_SHIFT) & 0xFFU), static_cast<int>((c >> IM_COL32_A_SHIFT) & 0xFFU)};
}

void blend(std::uint8_t* at, Rgba c)
{
    if (c.a == 255) {
        at[0] = static_cast<std::uint8_t>(c.r);
        at[1] = static_cast<std::uint8_t>(c.g);
        at[2] = static_cast<std::uint8_t>(c.b);
        at[3] = 255;
        return;
    }
    const int  rest = 255 - c.a;
    const auto mix  = [&](int over, std::uint8_t under) {
        return static_cast<std::uint8_t>((over * c.a + under * rest + 127) / 255);
    };
    at[0] = mix(c.r, at[0]);
    at[1] = mix(c.g, at[1]);
    at[2] = mix(c.b, at[2]);
    at[3] = 255;
}

/// Bilinear, clamped to the edge; channels of 0 to 255.
std::array<float, 4> sample(const SoftTexture& t, float u, float v)
{
    const float x  = std::clamp(u * static_cast<float>(t.w) - 0.5F, 0.0F, static_cast<float>(t.w - 1));
    const float y  = std::clamp(v * static_cast<float>(t.h) - 0.5F, 0.0F, static_cast<float>(t.h - 1));
    const int   x0 = static_cast<int>(x);
    const int   y0 = static_cast<int>(y);
    const int   x1 = std::min(x0 + 1, t.w - 1);
    const int   y1 = std::min(y0 + 1, t.h - 1);
    const float fx = x - static_cast<float>(x0);
    const float fy = y - static_cast<float>(y0);
    const auto  at = [&](int px, int py, int channel) {
        const auto pixel =
            static_cast<std::size_t>(py) * static_cast<std::size_t>(t.w) + static_cast<std::size_t>(px);
        const auto index = pixel * static_cast<std::size_t>(t.channels) + static_cast<std::size_t>(channel);
        return static_cast<float>(t.pixels[index]);
    };
    const auto channel = [&](int c) {
        const float top    = at(x0, y0, c) + (at(x1, y0, c) - at(x0, y0, c)) * fx;
        const float bottom = at(x0, y1, c) + (at(x1, y1, c) - at(x0, y1, c)) * fx;
        return top + (bottom - top) * fy;
    };
    if (t.channels == 1) return {255.0F, 255.0F, 255.0F, channel(0)};
    return {channel(0), channel(1), channel(2), channel(3)};
}

/// The colours of the corners, unpacked once a triangle.
using Colours = std::array<Rgba, 3>;

Rgba shade(const Triangle& t, const Colours& colours, const std::array<float, 3>& share,
           const SoftTexture& texture)
{
    float u = 0, v = 0, r = 0, g = 0, b = 0, a = 0;
    for (std::size_t i = 0; i < 3; ++i) {
        const Rgba& c = colours[i];
        u += t[i].vertex.uv.x * share[i];
        v += t[i].vertex.uv.y * share[i];
        r += static_cast<float>(c.r) * share[i];
        g += static_cast<float>(c.g) * share[i];
        b += static_cast<float>(c.b) * share[i];
        a += static_cast<float>(c.a) * share[i];
    }
    const auto texel = sample(texture, u, v);
    const auto times = [](float colour, float of) {
        return static_cast<int>(std::floor(colour * of / 255.0F + 0.5F));
    };
    return {times(r, texel[0]), times(g, texel[1]), times(b, texel[2]), times(a, texel[3])};
}

/// The signed distance of a pixel's middle from one edge, stepped from pixel to pixel.
struct Edge {
    std::int64_t step_x{};
    std::int64_t step_y{};
    std::int64_t at{};   // value at the first pixel of the box
    std::int64_t bias{}; // -1 where a pixel on the edge belongs to the neighbour

    Edge(const Corner& from, const Corner& to, int x, int y)
    {
        const std::int64_t dx = to.x - from.x;
        const std::int64_t dy = to.y - from.y;
        step_x                = -dy * 16;
        step_y                = dx * 16;
        at                    = dx * (y * 16 + 8 - from.y) - dy * (x * 16 + 8 - from.x);
        bias                  = (dy < 0 || (dy == 0 && dx > 0)) ? 0 : -1;
    }
};

/// Pixels [from, to) of a row, counted from the first of the box, that lie inside an edge whose value there
/// is `at`.
struct Span {
    std::int64_t from{};
    std::int64_t to{};

    void keep_inside(std::int64_t at, std::int64_t step)
    {
        if (step > 0 && at < 0)
            from = std::max(from, (-at + step - 1) / step);
        else if (step < 0)
            to = at < 0 ? from : std::min(to, at / -step + 1);
        else if (step == 0 && at < 0)
            to = from;
    }
};

bool plain(const Triangle& t)
{
    const ImDrawVert& a = t[0].vertex;
    for (const Corner& c : t)
        if (c.vertex.col != a.col || c.vertex.uv.x != a.uv.x || c.vertex.uv.y != a.uv.y) return false;
    return true;
}

Box covered(const Triangle& t, const Box& clip)
{
    const auto [left, right] = std::minmax({t[0].x, t[1].x, t[2].x});
    const auto [top, bottom] = std::minmax({t[0].y, t[1].y, t[2].y});
    return {std::max(clip.x0, static_cast<int>(left >> 4)), std::max(clip.y0, static_cast<int>(top >> 4)),
            std::min(clip.x1, static_cast<int>(right >> 4) + 1),
            std::min(clip.y1, static_cast<int>(bottom >> 4) + 1)};
}

void draw_triangle(Triangle t, const SoftTexture& texture, const Box& clip, Image& out)
{
    std::int64_t area = (t[1].x - t[0].x) * (t[2].y - t[0].y) - (t[1].y - t[0].y) * (t[2].x - t[0].x);
    if (area == 0) return;
    if (area < 0) {
        std::swap(t[1], t[2]);
        area = -area;
    }
    const Box box = covered(t, clip);
    if (box.x0 >= box.x1 || box.y0 >= box.y1) return;
    std::array<Edge, 3> edges{Edge(t[1], t[2], box.x0, box.y0), Edge(t[2], t[0], box.x0, box.y0),
                              Edge(t[0], t[1], box.x0, box.y0)};
    const Colours       colours{unpack(t[0].vertex.col), unpack(t[1].vertex.col), unpack(t[2].vertex.col)};
    const bool          flat = plain(t);
    const Rgba          one  = flat ? shade(t, colours, {1, 0, 0}, texture) : Rgba{};
    const float         part = 1.0F / static_cast<float>(area);
    for (int y = box.y0; y < box.y1; ++y) {
        Span span{0, box.x1 - box.x0};
        for (Edge& e : edges)
            span.keep_inside(e.at + e.bias, e.step_x);
        std::uint8_t* const row =
            out.rgba.data() + (static_cast<std::size_t>(y) * static_cast<std::size_t>(out.w) +
                               static_cast<std::size_t>(box.x0)) *
                                  4;
        for (std::int64_t x = span.from; x < span.to; ++x) {
            const auto value = [&](std::size_t i) {
                return static_cast<float>(edges[i].at + x * edges[i].step_x) * part;
            };
            const Rgba colour = flat ? one : shade(t, colours, {value(0), value(1), value(2)}, texture);
            if (colour.a > 0) blend(row + 4 * x, colour);
        }
        for (Edge& e : edges)
            e.at += e.step_y;
    }
}

Box common(const Box& a, const Box& b)
{
    return {std::max(a.x0, b.x0), std::max(a.y0, b.y0), std::min(a.x1, b.x1), std::min(a.y1, b.y1)};
}

/// Every triangle of the frame in its order: visit(triangle, texture, clip).
template <class Visit>
void each_triangle(const ImDrawList& list, const ImDrawCmd& command, const SoftTextures& textures,
                   const Box& whole, Visit visit)
{
    const auto texture = textures.find(reinterpret_cast<std::uintptr_t>(command.GetTexID()));
    if (command.UserCallback != nullptr || texture == textures.end()) return;
    const Box clip =
        common(whole, {static_cast<int>(command.ClipRect.x), static_cast<int>(command.ClipRect.y),
                       static_cast<int>(command.ClipRect.z), static_cast<int>(command.ClipRect.w)});
    for (unsigned int i = 0; i + 2 < command.ElemCount; i += 3) {
        const auto vertex = [&](unsigned int corner) {
            const ImDrawIdx index = list.IdxBuffer[static_cast<int>(command.IdxOffset + i + corner)];
            return fixed(list.VtxBuffer[static_cast<int>(command.VtxOffset + index)]);
        };
        visit(Triangle{vertex(0), vertex(1), vertex(2)}, *texture, clip);
    }
}

template <class Visit>
void each_triangle(const ImDrawData& frame, const SoftTextures& textures, const Box& whole, Visit visit)
{
    for (int n = 0; n < frame.CmdListsCount; ++n)
        for (const ImDrawCmd& command : frame.CmdLists[n]->CmdBuffer)
            each_triangle(*frame.CmdLists[n], command, textures, whole, visit);
}

// ---- squares --------------------------------------------------------------------------------------------

constexpr int kSquare = 64; // px

/// One more word of all that is drawn on a square.
void fold(std::uint64_t& into, std::uint64_t word)
{
    into = (into ^ word) * 0x9E3779B97F4A7C15U; // 2^64 divided by the golden ratio: spreads every bit upwards
    into ^= into >> 29U;
}

std::uint64_t words_of(std::uint32_t high, std::uint32_t low)
{
    return std::uint64_t{high} << 32U | low;
}

std::uint64_t number_of(const Triangle& t, std::uintptr_t texture, const Box& clip)
{
    std::uint64_t all = texture;
    fold(all, words_of(static_cast<std::uint32_t>(clip.x0), static_cast<std::uint32_t>(clip.y0)));
    fold(all, words_of(static_cast<std::uint32_t>(clip.x1), static_cast<std::uint32_t>(clip.y1)));
    for (const Corner& corner : t) {
        const ImDrawVert& v = corner.vertex;
        fold(all, words_of(std::bit_cast<std::uint32_t>(v.pos.x), std::bit_cast<std::uint32_t>(v.pos.y)));
        fold(all, words_of(std::bit_cast<std::uint32_t>(v.uv.x), std::bit_cast<std::uint32_t>(v.uv.y)));
        fold(all, v.col);
    }
    return all;
}

/// The image in squares of kSquare, the last of a row or column cut at the edge.
struct Grid {
    int columns{};
    int rows{};

    explicit Grid(const Image& image)
        : columns((image.w + kSquare - 1) / kSquare), rows((image.h + kSquare - 1) / kSquare)
    {
    }
    [[nodiscard]] std::size_t at(int column, int row) const
    {
        return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
               static_cast<std::size_t>(column);
    }
};

/// For each row of squares the stretches that changed.
std::vector<std::vector<Box>> changed(const Grid& grid, const std::vector<std::uint64_t>& before,
                                      const std::vector<std::uint64_t>& now, const Box& whole)
{
    std::vector<std::vector<Box>> rows(static_cast<std::size_t>(grid.rows));
    for (int row = 0; row < grid.rows; ++row) {
        auto& stretches = rows[static_cast<std::size_t>(row)];
        for (int column = 0; column < grid.columns; ++column) {
            if (before[grid.at(column, row)] == now[grid.at(column, row)]) continue;
            const Box square{column * kSquare, row * kSquare, (column + 1) * kSquare, (row + 1) * kSquare};
            if (!stretches.empty() && stretches.back().x1 == square.x0)
                stretches.back().x1 = std::min(square.x1, whole.x1);
            else
                stretches.push_back(common(square, whole));
        }
    }
    return rows;
}

void clear(const Box& box, look::Colour ground, Image& out)
{
    for (int y = box.y0; y < box.y1; ++y) {
        auto* at = out.rgba.data() + (static_cast<std::size_t>(y) * static_cast<std::size_t>(out.w) +
                                      static_cast<std::size_t>(box.x0)) *
                                         4;
        for (int x = box.x0; x < box.x1; ++x, at += 4) {
            at[0] = ground.r;
            at[1] = ground.g;
            at[2] = ground.b;
            at[3] = 255;
        }
    }
}

} // namespace

void Raster::draw(const ImDrawData& frame, look::Colour ground, const SoftTextures& textures, Image& out)
{
    const int w = static_cast<int>(frame.DisplaySize.x), h = static_cast<int>(frame.DisplaySize.y);
    if (w != out.w || h != out.h) drawn_.clear();
    out.w = w;
    out.h = h;
    out.rgba.resize(static_cast<std::size_t>(w) * static_cast<std::size_t>(h) * 4);
    const Box  whole{0, 0, w, h};
    const Grid grid(out);

    std::uint64_t empty = 0;
    fold(empty, words_of(static_cast<std::uint32_t>(ground.r << 16U | ground.g << 8U | ground.b), 1));
    std::vector<std::uint64_t> now(grid.at(0, grid.rows), empty);
    each_triangle(frame, textures, whole, [&](const Triangle& t, const auto& texture, const Box& clip) {
        const Box box = covered(t, clip);
        if (box.x0 >= box.x1 || box.y0 >= box.y1) return;
        const std::uint64_t number = number_of(t, texture.first, clip);
        for (int row = box.y0 / kSquare; row <= (box.y1 - 1) / kSquare; ++row)
            for (int column = box.x0 / kSquare; column <= (box.x1 - 1) / kSquare; ++column)
                fold(now[grid.at(column, row)], number);
    });
    if (drawn_ == now) return;
    if (drawn_.size() != now.size()) drawn_.assign(now.size(), 0);
    const auto rows = changed(grid, drawn_, now, whole);
    for (const auto& stretches : rows)
        for (const Box& stretch : stretches)
            clear(stretch, ground, out);
    each_triangle(frame, textures, whole, [&](const Triangle& t, const auto& texture, const Box& clip) {
        const Box box = covered(t, clip);
        if (box.x0 >= box.x1 || box.y0 >= box.y1) return;
        for (int row = box.y0 / kSquare; row <= (box.y1 - 1) / kSquare; ++row)
            for (const Box& stretch : rows[static_cast<std::size_t>(row)])
                draw_triangle(t, texture.second, common(clip, stretch), out);
    });
    drawn_ = std::move(now);
}

} // namespace field::shell
