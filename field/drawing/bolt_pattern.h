#pragma once
// Bolts of a housing in the order of tightening. Pillow blocks and caps are seen from above, flanges from the
// front. Numbers are the order given by the engine (bolting), never the drawing's own.
#include "engine/base/quantity.h"
#include "field/drawing/sketch.h"

namespace field::drawing {

enum class BoltedPart { pillow_block, flange, cap };

struct BoltPicture {
    BoltedPart          part = BoltedPart::pillow_block;
    engine::Millimetres shaft{45};
    std::vector<int>    order;         ///< order[k]: place (0..n-1) of the bolt tightened as number k + 1
    int                 done  = 0;     ///< how many of this pass are tight; the next one is in hand
    bool                slack = false; ///< bolts are being slackened or stand loose: none is filled
};
/// Places are numbered clockwise from the top left (pillow block, cap: left column down for n = 2: left,
/// right; flange: first at 45 degrees for four bolts, else at twelve o'clock). Unit square about the middle,
/// -1..1.
[[nodiscard]] std::vector<Point> bolt_places(BoltedPart part, int count);

[[nodiscard]] Sketch sketch(const BoltPicture& picture, const Box& area, const Metrics& metrics);

} // namespace field::drawing
