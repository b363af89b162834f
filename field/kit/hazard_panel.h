#pragma once
// Signal-word panels after ANSI Z535.4 / ISO 3864-2: DANGER will kill or maim, WARNING could, CAUTION could
// hurt lightly, NOTICE hurts nobody and has no triangle. Stands above the act it guards; never carries a
// reading's verdict.
#include "field/kit/ui.h"

#include <string>

namespace field::kit {

enum class Signal { danger, warning, caution, notice };

struct HazardPanel {
    Signal      signal{Signal::caution};
    std::string text;
};
/// Height needed for a width; one line when the text fits beside the signal word, else wrapped below it.
[[nodiscard]] float hazard_height_mm(Ui& ui, float width_mm, const HazardPanel& panel);
/// Draws at the top left of `rect`, as wide as it; returns the height used.
float hazard_panel(Ui& ui, const look::Rect& rect, const HazardPanel& panel);

} // namespace field::kit
