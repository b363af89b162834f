#pragma once
// Finds the round edge of a nut in a photo by itself.
//   1 the photo is reduced to about 640 px by means of blocks, smoothed, and its gradients thinned to edges
//   2 opposite points of an ellipse have opposite gradients and the centre halfway between them, whatever the
//     slant: pairs of edge points with opposite gradients vote for the middle of their distance
//   3 about each of the best centres, ellipses through three edge points are tried; the one with the most
//     of its round covered by edge points of fitting direction wins
//   4 its edge points, to parts of a pixel, go to fit_ellipse (engine/fit/nut_photo.h)
// Hints sort out other rounds with the same centre (bore, washer, housing): the mark on the nut lies on the
// nut. Deterministic. A 12-megapixel photo takes well under 300 ms. The caller decodes the picture.
#include "engine/fit/nut_photo.h"

#include <cstdint>
#include <vector>

namespace engine {

/// Rows of bytes, 0 dark to 255 light, without gaps. 64..20000 px each way.
struct GreyImage {
    std::span<const std::uint8_t> pixels; ///< width x height
    int                           width = 0, height = 0;
};

struct EdgeHints {
    std::optional<Pixel> centre;   ///< of the nut, roughly
    std::optional<Pixel> nut_mark; ///< between 0.55 and 1.15 half axes from the centre
};

struct FoundEdge {
    PhotoEllipse       ellipse;      ///< in pixels of the photo
    std::vector<Pixel> points;       ///< what it was fitted through
    double             coverage = 0; ///< share of its round with edge points, 0.5..1
};

/// The nut's edge must lie whole in the photo, its short axis at least an eighth of the photo's shorter side.
/// Fails: Fault::bad_input (size and pixels do not go together), Fault::out_of_range, Fault::not_found (no
/// round edge: tap points of it instead).
[[nodiscard]] Result<FoundEdge> find_nut_edge(const GreyImage& image, const EdgeHints& hints = {});

} // namespace engine
