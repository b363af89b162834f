#include "field/drawing/labels.h"

#include "field/drawing/shapes.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace field::drawing {

std::vector<double> spread(std::vector<double> wanted_mm, double gap_mm, double low_mm, double high_mm)
{
    const std::size_t        n = wanted_mm.size();
    std::vector<std::size_t> order(n);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return wanted_mm[a] < wanted_mm[b]; });
    if (n > 1 && gap_mm * static_cast<double>(n - 1) > high_mm - low_mm)
        gap_mm = std::max(0.0, (high_mm - low_mm) / static_cast<double>(n - 1));
    double floor = low_mm;
    for (const std::size_t i : order) {
        wanted_mm[i] = std::max(wanted_mm[i], floor);
        floor        = wanted_mm[i] + gap_mm;
    }
    double ceiling = high_mm;
    for (auto it = order.rbegin(); it != order.rend(); ++it) {
        wanted_mm[*it] = std::min(wanted_mm[*it], ceiling);
        ceiling        = wanted_mm[*it] - gap_mm;
    }
    return wanted_mm;
}

void leaders(Sketch& sketch, const std::vector<Leader>& labels, double x_mm, Side side, const Box& room)
{
    const double        high = sketch.row(Letters::label);
    std::vector<double> wanted;
    wanted.reserve(labels.size());
    for (const Leader& l : labels)
        wanted.push_back(l.at.y);
    const std::vector<double> at  = spread(wanted, high, room.top + high / 2, room.bottom - high / 2);
    const double              air = side == Side::right ? 0.8 : -0.8;
    for (std::size_t i = 0; i < labels.size(); ++i) {
        const Leader& l    = labels[i];
        const Tone    tone = l.heavy ? Tone::mark : Tone::ink;
        sketch.line({{x_mm + air, at[i]}, l.at}, Pen{tone, l.heavy ? 0.35 : 0.2, Dash::solid});
        sketch.fill(circle(l.at, 0.55), tone);
        sketch.words(l.text, {x_mm, at[i]}, Lettering{Letters::label, l.heavy, tone, side});
    }
}

Ticks round_ticks(double low, double high, int most)
{
    if (!std::isfinite(low) || !std::isfinite(high)) low = 0, high = 1;
    if (high < low) std::swap(low, high);
    if (high - low < 1e-9) high = low + 1;
    most                    = std::max(most, 1);
    const double     raw    = (high - low) / most;
    double           decade = std::pow(10.0, std::floor(std::log10(raw)));
    Ticks            ticks;
    constexpr double round_steps[] = {1, 2, 2.5, 5, 10, 20, 25, 50};
    for (const double r : round_steps) {
        ticks.step = r * decade;
        ticks.low  = std::floor(low / ticks.step + 1e-9) * ticks.step;
        ticks.high = std::ceil(high / ticks.step - 1e-9) * ticks.step;
        if (std::lround((ticks.high - ticks.low) / ticks.step) <= most) break;
    }
    while (ticks.decimals < 6) {
        const double scaled = ticks.step * std::pow(10.0, ticks.decimals);
        if (std::abs(scaled - std::round(scaled)) < 1e-6 * scaled) break;
        ++ticks.decimals;
    }
    const long count = std::lround((ticks.high - ticks.low) / ticks.step);
    for (long i = 0; i <= count; ++i)
        ticks.at.push_back(ticks.low + ticks.step * static_cast<double>(i));
    return ticks;
}

} // namespace field::drawing
