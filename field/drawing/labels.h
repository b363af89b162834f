#pragma once
// Leader labels and axis ticks: where words stand so that they never run over each other.
#include "field/drawing/sketch.h"

namespace field::drawing {

/// Moves heights (in the given order of importance: they keep their order from top to bottom) as little as
/// needed so that neighbours are at least `gap_mm` apart and all stay between `low_mm` and `high_mm`. When
/// there is no room for all, they are spread evenly.
[[nodiscard]] std::vector<double> spread(std::vector<double> wanted_mm, double gap_mm, double low_mm,
                                         double high_mm);

struct Leader {
    std::string text;
    Point       at;            ///< the dot, on the part
    bool        heavy = false; ///< the part in hand: layout blue and bold
};
/// Puts the labels in a column: their right edge (column on the left of the part) or left edge stands at
/// x_mm, between the two heights. Each gets a dot and a thin line.
void leaders(Sketch& sketch, const std::vector<Leader>& labels, double x_mm, Side side, const Box& room);

/// Round numbers (1, 2, 2.5, 5 times a power of ten) that cover low..high in at most `most` steps.
struct Ticks {
    double              low{}, high{}, step{1};
    std::vector<double> at;
    int                 decimals = 0; ///< needed to write every tick without loss
};
[[nodiscard]] Ticks round_ticks(double low, double high, int most);

} // namespace field::drawing
