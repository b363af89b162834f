#include "field/drawing/time_line.h"

#include "field/drawing/labels.h"
#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>

namespace field::drawing {
namespace {

struct Chart {
    Sketch&            out;
    const HeatPicture& picture;
    Ticks              heat, time;
    double             heat_low{}, heat_high{};
    Box                plot;

    [[nodiscard]] double x(double hours) const
    {
        return plot.left + plot.width() * (hours - time.low) / (time.high - time.low);
    }
    [[nodiscard]] double y(double celsius) const
    {
        return plot.bottom - plot.height() * (celsius - heat_low) / (heat_high - heat_low);
    }
    [[nodiscard]] Outline trace(const std::vector<HeatPoint>& points) const;
    void                  axes() const;
    void                  limits() const;
    void                  lines() const;
};

void find_range(const HeatPicture& picture, Chart& chart)
{
    double low = 20, high = 60, last = std::max(picture.planned.value, 0.25);
    bool   any = false;
    for (const HeatLine& l : picture.lines)
        for (const auto* points : {&l.read, &l.expected})
            for (const HeatPoint& p : *points) {
                low  = any ? std::min(low, p.heat.value) : p.heat.value;
                high = any ? std::max(high, p.heat.value) : p.heat.value;
                last = std::max(last, p.at.value);
                any  = true;
            }
    if (picture.ambient)
        low = std::min(low, picture.ambient->value), high = std::max(high, picture.ambient->value);
    if (picture.stop) high = std::max(high, picture.stop->value);
    chart.heat      = round_ticks(low, high, chart.plot.height() > 45 ? 5 : 4);
    chart.time      = round_ticks(0, last, chart.plot.width() > 60 ? 5 : 3);
    chart.heat_low  = chart.heat.low;
    chart.heat_high = std::max(chart.heat.high, high);
    if (picture.stop)
        chart.heat_high =
            std::max(chart.heat_high, picture.stop->value + 0.16 * (picture.stop->value - chart.heat_low));
}

Outline Chart::trace(const std::vector<HeatPoint>& points) const
{
    Outline line;
    for (const HeatPoint& p : points)
        line.push_back({x(p.at.value), y(p.heat.value)});
    return line;
}

void Chart::axes() const
{
    const double    row = out.row(Letters::label);
    const Lettering left{Letters::label, false, Tone::soft, Side::right},
        below{Letters::label, false, Tone::soft, Side::middle};
    for (const double t : heat.at) {
        const bool in_zone = picture.stop && t >= picture.stop->value - 1e-9;
        if (in_zone) continue; // the stop line says it
        out.line({{plot.left, y(t)}, {plot.right, y(t)}}, Pen{Tone::rule, 0.3, Dash::solid});
        if (picture.stop && y(t) - y(picture.stop->value) < row * 0.9) continue;
        out.words(fixed(t, heat.decimals), {plot.left - 2, y(t)}, left);
    }
    for (const double t : time.at) {
        out.line({{x(t), plot.bottom}, {x(t), plot.bottom + 1.4}}, Pen{Tone::edge, 0.3, Dash::solid});
        out.words(fixed(t, time.decimals) + " h", {x(t), plot.bottom + 1.6 + row / 2}, below);
    }
}

void Chart::limits() const
{
    const double row = out.row(Letters::label);
    if (picture.stop) {
        const double s = y(picture.stop->value);
        out.fill(rectangle({plot.left, plot.top, plot.right, s}), Tone::outside_soft);
        out.line({{plot.left, s}, {plot.right, s}}, Pen{Tone::outside, 0.5, Dash::dashed});
        const std::string says = picture.word_stop + " " + fixed(picture.stop->value, 0) + " °C";
        out.words(says, {plot.right - 0.8, s - row * 0.55},
                  {Letters::label, false, Tone::outside, Side::right});
    }
    if (picture.ambient) {
        const double a = y(picture.ambient->value);
        out.line({{plot.left, a}, {plot.right, a}}, Pen{Tone::soft, 0.35, Dash::dashed});
        const std::string says = picture.word_air + " " + fixed(picture.ambient->value, 0) + " °C";
        (void)out.words_where_free(says,
                                   {{plot.right - 0.8, a - row * 0.5}, {plot.right - 0.8, a + row * 0.5}},
                                   {Letters::label, false, Tone::soft, Side::right});
    }
}

void Chart::lines() const
{
    std::vector<double> ends;
    for (const HeatLine& l : picture.lines) {
        const Tone tone  = l.heavy ? Tone::mark : Tone::edge;
        Outline    ahead = trace(l.expected), line = trace(l.read);
        if (!ahead.empty() && !line.empty() && ahead.front().x > line.back().x)
            ahead.insert(ahead.begin(), line.back());
        out.line(ahead, Pen{tone, 0.45, Dash::dashed});
        out.line(line, Pen{tone, l.heavy ? 0.8 : 0.5, Dash::solid});
        for (const Point p : line)
            out.body(circle(p, 1.25), Tone::panel, Pen{tone, 0.6, Dash::solid});
        const Outline& last = ahead.empty() ? line : ahead;
        ends.push_back(last.empty() ? plot.bottom : last.back().y);
    }
    const double              row = out.row(Letters::instruction);
    const std::vector<double> at  = spread(ends, row * 0.9, plot.top + row / 2, plot.bottom - row / 2);
    for (std::size_t i = 0; i < picture.lines.size(); ++i) {
        const HeatLine& l = picture.lines[i];
        if (l.read.empty() && l.expected.empty()) continue;
        out.words(l.name, {plot.right + 1.6, at[i]},
                  {Letters::instruction, true, l.heavy ? Tone::mark : Tone::edge, Side::left});
    }
}

} // namespace

Sketch sketch(const HeatPicture& picture, const Box& area, const Metrics& metrics)
{
    Sketch       out(area, metrics);
    Chart        chart{out, picture, {}, {}, 0, 0, {}};
    const double row   = out.row(Letters::label);
    double       names = 3;
    bool         any   = false;
    for (const HeatLine& l : picture.lines) {
        names = std::max(names, out.width_of(l.name, {Letters::instruction, true, Tone::ink, Side::left}));
        any   = any || !l.read.empty();
    }
    const double last_tick = out.width_of("0 h", {}) / 2; // half of it stands past the end of the axis
    chart.plot             = {area.left + out.width_of("100", {}) + 2.5, area.top + row * 0.5,
                              area.right - std::max(names + 2, last_tick), area.bottom - row - 1.8};
    if (chart.plot.width() < 5 || chart.plot.height() < 5) return out;
    find_range(picture, chart);
    chart.limits();
    chart.axes();
    chart.lines();
    if (!any)
        out.words(picture.word_empty, chart.plot.centre(), {Letters::label, false, Tone::soft, Side::middle});
    return out;
}

} // namespace field::drawing
