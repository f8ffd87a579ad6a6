// An order of strokes made shorter by small changes.
#pragma once

#include <vector>

#include "scene/basics/vector.h"
#include "scene/flights/stroke_order.h"

namespace lampflight {

/// A way to draw a stroke, with the points where the lamp lights up and goes out.
struct StrokeChoice {
    StrokeTurn turn;
    Vec2 begin;
    Vec2 end;
};

StrokeChoice choice_of(const SvgDrawing& drawing, const StrokeTurn& turn);

/// From each end to the next begin, in user units.
double dark_way(const std::vector<StrokeChoice>& order);

/// Turns stretches of the order round, moves up to three strokes elsewhere, and lets closed strokes
/// begin where it serves, until nothing helps or the work is as much as is allowed.
void better(const SvgDrawing& drawing, std::vector<StrokeChoice>& order);

}  // namespace lampflight
