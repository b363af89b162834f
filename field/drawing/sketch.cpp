#include "field/drawing/sketch.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace field::drawing {
namespace {
constexpr double kCapOfEm = 0.6255; // B612: cap height over letter size
} // namespace

double Sketch::cap(Letters letters) const
{
    switch (letters) {
    case Letters::label:
        return metrics_.label_cap_mm;
    case Letters::instruction:
        return metrics_.instruction_cap_mm;
    case Letters::title:
        return metrics_.title_cap_mm;
    }
    return metrics_.label_cap_mm;
}

double Sketch::row(Letters letters) const
{
    return cap(letters) / kCapOfEm;
}

void Sketch::fill(Outline outline, Tone tone)
{
    if (outline.size() > 2) items_.emplace_back(Fill{std::move(outline), tone});
}

void Sketch::hatch(Outline outline, Lean lean, double gap_mm, Tone tone)
{
    if (outline.size() > 2) items_.emplace_back(Hatch{std::move(outline), lean, gap_mm, tone});
}

void Sketch::line(Outline points, Pen pen)
{
    if (points.size() > 1) items_.emplace_back(Line{std::move(points), false, pen});
}

void Sketch::loop(Outline points, Pen pen)
{
    if (points.size() > 2) items_.emplace_back(Line{std::move(points), true, pen});
}

void Sketch::body(const Outline& outline, Tone tone, Pen pen)
{
    fill(outline, tone);
    loop(outline, pen);
}

void Sketch::cut(const Outline& outline, Tone tone, Lean lean, Pen pen)
{
    fill(outline, tone);
    hatch(outline, lean);
    loop(outline, pen);
}

void Sketch::arrow(Outline points, Pen pen, double head_mm)
{
    if (points.size() < 2) return;
    const Point  tip    = points.back();
    const Point  back   = points[points.size() - 2] - tip;
    const double length = std::hypot(back.x, back.y);
    if (length <= 0) return;
    const Point  along = (1 / length) * back;
    const Point  across{-along.y, along.x};
    const double half = head_mm * 0.5;
    const Point  neck = tip + head_mm * along;
    points.back()     = tip + std::min(length, 0.8 * head_mm) * along;
    line(std::move(points), pen);
    fill({tip, neck + half * across, neck - half * across}, pen.tone);
}

double Sketch::width_of(const std::string& text, const Lettering& how) const
{
    return metrics_.width(text, how.letters, how.bold);
}

Box Sketch::box_of(const std::string& text, Point at, const Lettering& how) const
{
    const double wide = width_of(text, how);
    const double high = row(how.letters);
    double       left = at.x - wide / 2;
    if (how.side == Side::left) left = at.x;
    if (how.side == Side::right) left = at.x - wide;
    return {left, at.y - high / 2, left + wide, at.y + high / 2};
}

bool Sketch::is_free(const Box& box) const
{
    return holds(area_, box) &&
           std::none_of(taken_.begin(), taken_.end(), [&](const Box& other) { return overlap(other, box); });
}

Box Sketch::words(const std::string& text, Point at, const Lettering& how)
{
    if (text.empty()) return {at.x, at.y, at.x, at.y};
    Box          box = box_of(text, at, how);
    const double dx  = std::max(0.0, area_.left - box.left) - std::max(0.0, box.right - area_.right);
    const double dy  = std::max(0.0, area_.top - box.top) - std::max(0.0, box.bottom - area_.bottom);
    box              = {box.left + dx, box.top + dy, box.right + dx, box.bottom + dy};
    taken_.push_back(box);
    items_.emplace_back(Words{text, box, how.letters, how.bold, how.tone});
    return box;
}

bool Sketch::words_where_free(const std::string& text, const std::vector<Point>& at, const Lettering& how)
{
    for (const Point p : at)
        if (is_free(box_of(text, p, how))) {
            words(text, p, how);
            return true;
        }
    return false;
}

Metrics rough_metrics()
{
    Metrics metrics;
    metrics.width = [](const std::string& text, Letters letters, bool bold) {
        // letters, not bytes: continuation bytes of UTF-8 are 10xxxxxx
        const auto   count = std::count_if(text.begin(), text.end(), [](char c) {
            return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
        });
        const double cap   = letters == Letters::title ? 5.0 : letters == Letters::label ? 3.3 : 4.2;
        return static_cast<double>(count) * cap / kCapOfEm * (bold ? 0.64 : 0.6);
    };
    return metrics;
}

} // namespace field::drawing
