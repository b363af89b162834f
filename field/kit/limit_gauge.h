#pragma once
// The limit gauge: a band between the limits, a tick at each reading with its uncertainty as a bar. Ink while
// the reading is inside; colour and a symbol appear for undecided and outside.
#include "engine/metrology/verdict.h"
#include "field/look/canvas.h"

#include <optional>
#include <string>
#include <vector>

namespace field::kit {

/// Numbers in any one unit; the texts are what the fitter reads.
struct GaugeTick {
    double                         value{};
    double                         uncertainty{}; ///< expanded, half width; 0 draws the tick alone
    std::optional<engine::Verdict> verdict;       ///< none: not decided yet, drawn in layout blue
};
struct LimitGauge {
    std::optional<double>  low; ///< absent: no lower limit, the band runs to the end
    std::optional<double>  high;
    std::string            low_text; ///< under the band; empty for none
    std::string            high_text;
    std::vector<GaugeTick> ticks;
    bool                   desk{false};        ///< thin, for lists
    bool                   show_symbol{false}; ///< verdict of the worst tick at the right end
};

/// Height that the gauge with its numbers wants.
[[nodiscard]] float gauge_height_mm(const look::Canvas& canvas, const LimitGauge& gauge);
void                limit_gauge(look::Canvas& canvas, const look::Rect& rect, const LimitGauge& gauge);

/// A bar filled to a share of its length (0 to 1): work done, not a verdict.
void share_bar(look::Canvas& canvas, const look::Rect& rect, float share);

/// Layout: colour and symbol of a verdict.
[[nodiscard]] look::Colour verdict_colour(const look::Palette& palette,
                                          engine::Verdict      verdict); ///< ink when inside

} // namespace field::kit
