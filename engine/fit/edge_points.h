#pragma once
// Edge points of a grey picture, reduced first: the raw material of engine/fit/nut_edge.h.
#include "engine/fit/nut_edge.h"

namespace engine {

struct EdgePoint {
    float x = 0, y = 0;        ///< px of the reduced picture, to parts of a pixel along the gradient
    float along = 0, down = 0; ///< unit gradient, from dark to light
    float strength = 0;        ///< grey levels per px
};

struct EdgePoints {
    std::vector<EdgePoint> points;                ///< the strongest, at most 6000
    int                    width = 0, height = 0; ///< of the reduced picture
    int                    scale = 1;             ///< photo pixels per reduced pixel
};

/// The picture is taken as valid.
[[nodiscard]] EdgePoints edge_points(const GreyImage& image);

} // namespace engine
