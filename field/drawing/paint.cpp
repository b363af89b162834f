#include "field/drawing/paint.h"

namespace field::drawing {
namespace {

look::Role role_of(Letters letters, bool bold)
{
    switch (letters) {
    case Letters::label:
        return bold ? look::Role::label_bold : look::Role::label;
    case Letters::instruction:
        return bold ? look::Role::instruction_bold : look::Role::instruction;
    case Letters::title:
        return bold ? look::Role::title : look::Role::value;
    }
    return look::Role::label;
}

look::Colour colour_of(Tone tone, const look::Palette& p)
{
    switch (tone) {
    case Tone::ground:
        return p.paper;
    case Tone::panel:
        return p.panel;
    case Tone::ink:
        return p.ink;
    case Tone::soft:
        return p.soft;
    case Tone::rule:
        return p.rule;
    case Tone::edge:
        return p.steel_edge;
    case Tone::steel:
        return p.steel;
    case Tone::steel_dark:
        return p.steel_dark;
    case Tone::steel_light:
        return p.part;
    case Tone::hatch:
        return p.hatch;
    case Tone::bronze:
        return p.bronze;
    case Tone::mark:
        return p.act;
    case Tone::mark_soft:
        return p.act_wash;
    case Tone::inside:
        return p.inside;
    case Tone::inside_soft:
        return p.inside_pale;
    case Tone::watch:
        return p.watch;
    case Tone::outside:
        return p.outside;
    case Tone::outside_soft:
        return p.outside_pale;
    case Tone::on_mark:
        return p.on_act;
    }
    return p.ink;
}

std::vector<look::Point> points_of(const Outline& outline)
{
    std::vector<look::Point> out;
    out.reserve(outline.size() + 1);
    for (const Point p : outline)
        out.push_back({static_cast<float>(p.x), static_cast<float>(p.y)});
    return out;
}

struct Painter {
    look::Canvas& canvas;

    void operator()(const Fill& f) const
    {
        canvas.fill(points_of(f.outline), colour_of(f.tone, canvas.palette()));
    }
    void operator()(const Hatch& h) const
    {
        const look::Stroke stroke{colour_of(h.tone, canvas.palette()), h.tone == Tone::hatch ? 0.17F : 0.3F};
        canvas.hatch(points_of(h.outline), {stroke, static_cast<float>(h.gap_mm), h.lean == Lean::left});
    }
    void operator()(const Line& l) const
    {
        auto               points = points_of(l.points);
        const look::Stroke stroke{colour_of(l.pen.tone, canvas.palette()),
                                  static_cast<float>(l.pen.width_mm)};
        if (l.pen.dash == Dash::centre) {
            canvas.centre_line(points.front(), points.back(), stroke.colour);
        } else if (l.pen.dash == Dash::dashed) {
            if (l.closed) points.push_back(points.front());
            canvas.dashed(points, stroke);
        } else if (l.closed) {
            canvas.outline(points, stroke);
        } else {
            canvas.polyline(points, stroke);
        }
    }
    void operator()(const Words& w) const
    {
        const look::TextStyle style{role_of(w.letters, w.bold), colour_of(w.tone, canvas.palette()),
                                    look::Across::left, look::Upright::middle};
        canvas.text({static_cast<float>(w.box.left), static_cast<float>(w.box.centre().y)}, w.text, style);
    }
};

} // namespace

Metrics metrics_of(const look::Canvas& canvas)
{
    Metrics metrics;
    metrics.width = [&canvas](const std::string& text, Letters letters, bool bold) {
        return static_cast<double>(canvas.text_width(text, role_of(letters, bold)));
    };
    metrics.label_cap_mm       = static_cast<double>(canvas.cap_mm(look::Role::label));
    metrics.instruction_cap_mm = static_cast<double>(canvas.cap_mm(look::Role::instruction));
    metrics.title_cap_mm       = static_cast<double>(canvas.cap_mm(look::Role::title));
    return metrics;
}

Box box_of(const look::Rect& rect)
{
    return {static_cast<double>(rect.x), static_cast<double>(rect.y), static_cast<double>(rect.right()),
            static_cast<double>(rect.bottom())};
}

void paint(look::Canvas& canvas, const Sketch& sketch)
{
    const Box&        a = sketch.area();
    const look::Rect  area{static_cast<float>(a.left), static_cast<float>(a.top),
                          static_cast<float>(a.width()), static_cast<float>(a.height())};
    const look::Owner owner(canvas, area, look::Ground::open); // every word stays in the drawing's own area
    for (const Item& item : sketch.items())
        std::visit(Painter{canvas}, item);
}

} // namespace field::drawing
