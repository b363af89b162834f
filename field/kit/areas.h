#pragma once
// Two fixed plans of a screen, wide and upright, worked out from the size of the glass in millimetres and
// mirrored for left-handers.
#include "field/look/geometry.h"
#include "field/look/theme.h"

namespace field::kit {

inline constexpr float kEdge       = 4.0F;  ///< margin to the sides of the glass, mm
inline constexpr float kGap        = 3.0F;  ///< between two targets, mm
inline constexpr float kTarget     = 20.0F; ///< smallest side of a target at the machine, mm
inline constexpr float kMainHeight = 24.0F; ///< the main action, mm

struct ScreenAreas {
    look::Rect strip; ///< title, status, clock
    look::Rect rule;  ///< the steel rule with its pointer
    look::Rect body;  ///< everything between rule and bars
    look::Rect left;  ///< wide: drawing column; upright: upper part of the body
    look::Rect right; ///< wide: words and readings, above the main action; upright: lower part of the body
    look::Rect bar;   ///< the whole bottom, back to main action
    look::Rect back;
    look::Rect problem;
    look::Rect photo;
    look::Rect main;   ///< the one main action, 24 mm high
    look::Rect keypad; ///< block of keys of at least 20 mm; see Keypad
    look::Rect
         reading; ///< what remains for drawing, reading and gauge beside (wide) or above (upright) the keypad
    bool portrait{};
};

[[nodiscard]] ScreenAreas areas_for(const look::ScreenSize& screen, look::Hand hand);

} // namespace field::kit
