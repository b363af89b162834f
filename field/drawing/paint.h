#pragma once
// The one place where drawings meet the canvas of the screen.
#include "field/drawing/sketch.h"
#include "field/look/canvas.h"

namespace field::drawing {

[[nodiscard]] Metrics metrics_of(const look::Canvas& canvas);
[[nodiscard]] Box     box_of(const look::Rect& rect);
void                  paint(look::Canvas& canvas, const Sketch& sketch);

/// Draws any of the pictures of this room into the area: draw(canvas, area, CutawayPicture{...}).
template <class Picture> void draw(look::Canvas& canvas, const look::Rect& area, const Picture& picture)
{
    paint(canvas, sketch(picture, box_of(area), metrics_of(canvas)));
}

} // namespace field::drawing
