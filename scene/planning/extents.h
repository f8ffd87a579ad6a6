// Extents of points on a plane: how narrow they are at their narrowest, and how long across that.
#pragma once

#include <vector>

#include "scene/basics/vector.h"

namespace lampflight {

struct Extents {
    double longer = 0.0;
    double shorter = 0.0;

    /// 1 for a circle or a square, b / a for an ellipse, 0 for a straight line.
    double ratio() const { return longer > 0.0 ? shorter / longer : 0.0; }
};

/// The least width over all directions, and the extent at a right angle to it; alike however the
/// points are turned or mirrored. Rotating calipers on the convex hull (Toussaint 1983, from
/// memory).
Extents extents_of(std::vector<Vec2> points);

}  // namespace lampflight
