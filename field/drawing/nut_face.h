#pragma once
// The lock nut as the fitter sees it, with the scale around it: how far it has turned since zero, how far it
// may. The second form zooms in on the tang that a further tightening meets first.
#include "engine/base/quantity.h"
#include "field/drawing/sketch.h"

#include <optional>

namespace field::drawing {

struct NutPicture {
    int                 slots = 4, tangs = 13;
    engine::Millimetres shaft{45}, bore{50}; ///< for the shaft end and the thread, in true proportion
    engine::Degrees     turned;              ///< where the nut stands, from zero; any number of laps
    engine::Degrees     turn_min, turn_max;  ///< allowed band; equal: none is drawn
    engine::Degrees     recorded;            ///< last recorded angle: below it the nut is never turned
    bool                knob      = true;    ///< the handle a finger takes
    bool                marked    = true;    ///< shaft and nut carry the fitter's marks
    bool                tell_laps = true;    ///< above one turn: "1 turn + 12" beside the scale
    bool                locked    = false;   ///< a tang is bent into its slot
    std::string         word_turn = "turn", word_turns = "turns";
};

/// Where the scale stands, for the touch: see touch_angle() and follow_touch() of nut_geometry.h.
struct NutPlace {
    Point  centre;
    double knob_radius_mm{}; ///< of the ring the knob runs on
    double scale_radius_mm{};
};
[[nodiscard]] NutPlace nut_place(const Box& area, const Metrics& metrics);

[[nodiscard]] Sketch sketch(const NutPicture& picture, const Box& area, const Metrics& metrics);

struct TabPicture {
    NutPicture  nut;
    std::string word_on = "on"; ///< "4.6 deg on": how much further to tighten
};
[[nodiscard]] Sketch sketch(const TabPicture& tab, const Box& area, const Metrics& metrics);

/// "262", "1 turn + 12": what the nut has turned, with the degree sign.
[[nodiscard]] std::string turned_words(const NutPicture& picture);

} // namespace field::drawing
