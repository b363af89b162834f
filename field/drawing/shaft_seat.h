#pragma once
// The shaft with the seat zone and its measuring planes. Readings taken so far bend the outline, the form
// error drawn larger by kFormDrawn, so that a cone, a waist or a step is seen while it is being measured.
#include "engine/base/quantity.h"
#include "field/drawing/sketch.h"

#include <optional>

namespace field::drawing {

inline constexpr double kFormDrawn = 60; ///< deviations from the nominal are drawn this many times larger

enum class Direction { across, up };

struct SeatPlane {
    std::string                        name; ///< "I", "II", "III"
    std::optional<engine::Millimetres> across, up;
};

struct SeatPicture {
    engine::Millimetres    shaft{50}, seat_width{60}, from_end{35}; ///< from_end: seat to end of shaft
    std::vector<SeatPlane> planes;
    int                    plane       = -1; ///< the plane in hand; -1: none
    Direction              direction   = Direction::across;
    std::string            word_across = "across", word_up = "up";
};
[[nodiscard]] Sketch sketch(const SeatPicture& picture, const Box& area, const Metrics& metrics);

/// How far the outline stands off the nominal radius at a plane, in millimetres of the part, already
/// enlarged: the mean of what has been read there; 0 before the first reading.
[[nodiscard]] engine::Millimetres drawn_bulge(const SeatPicture& picture, std::size_t plane);

} // namespace field::drawing
