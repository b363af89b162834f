#pragma once
// Half section of a mounted spherical roller bearing with its adapter sleeve, worked out from the sheet's
// values, in millimetres of the part: x along the shaft, 0 in the middle of the bearing before any travel,
// positive towards the nut; y down, 0 on the shaft's centre line, so everything above the line is negative.
//
// Shaft, bore, raceway, seat width, pitch and travel are to scale. What the sheet does not state (outside
// diameter, widths, nut) is drawn in the proportions of medium-wide spherical roller bearings (series 222
// with sleeve H 3 and nut KM, bore 50 mm; dimensions from ISO 15:2017, ISO 2982-1:2013 and ISO 2982-2:2013,
// from memory): nothing is read off these parts.
#include "engine/base/quantity.h"
#include "field/drawing/plane.h"

namespace field::drawing {

inline constexpr double kTaperDrawn     = 1.6; ///< the taper is drawn this much steeper than it is
inline constexpr double kClearanceDrawn = 25;  ///< clearance left is drawn this much wider than it is
inline constexpr double kSeatGapDrawn   = 1.0; ///< gap under the ring before zero, as given

struct BearingData {
    engine::Millimetres shaft{45}, bore{50}, raceway{62.5}, seat_width{42};
    double              taper = 12; ///< 12 means 1:12 on diameter
    engine::ThreadPitch pitch{1.5};
    engine::Millimetres travel{0};            ///< ring up the sleeve since zero
    bool                sleeve_moves = false; ///< the travel is the sleeve drawn through, not the ring pushed
    engine::Millimetres clearance_left{0};
    engine::Millimetres seat_gap{0}; ///< radial gap between sleeve and ring, 0 from the zero position on
};

struct BearingSection {
    Outline outer, inner, sleeve, nut, washer, tang_up, tang_bent, seal_left, seal_right;
    Outline roller_left, roller_right;           ///< barrels
    Outline axis_left, axis_right;               ///< their axes, two points each
    Outline bore_contact, shaft_contact;         ///< faces that touch at zero, two points each
    Outline gap_left, gap_right;                 ///< between rollers and outer ring, where feelers go
    double  ring_left{}, ring_right{};           ///< faces of the inner ring, x
    double  sleeve_left{}, sleeve_right{};       ///< ends of the sleeve, x
    double  outer_top{}, nut_top{}, shaft_top{}; ///< y
    double  ring_width{}, nut_right{};
};
[[nodiscard]] BearingSection bearing_section(const BearingData& data);

} // namespace field::drawing
