// A drawing on a plane in the world, as the corners of a flight.
#pragma once

#include "scene/flights/svg_drawing.h"
#include "scene/flights/waypoint.h"

namespace lampflight {

/// A plane as a ring's: right is to the right hand of someone who stands before its face.
struct FigurePlane {
    Vec3 centre_m{0.0, 0.0, 8.0};  ///< of the drawing's box
    double facing_deg = 180.0;     ///< bearing that the face looks towards
    double tilt_deg = 0.0;         ///< the top leans away from the face; 90 lies on its back
    double width_m = 10.0;         ///< of the drawing's box
    bool mirrored = false;         ///< on purpose, for whoever sees it
    Vec3 seen_from_m{0.0};  ///< from here the drawing reads right, from the face or behind it
};

/// One stroke after another, dark from the end of one to the start of the next, with no leg between
/// where they meet. Ends of strokes are corners, and stops where the lamp goes out or on. In the file's order, or with `shortest_way` in
/// that of `shortest_order`. The drawing has a width.
Waypoints lay_figure(const SvgDrawing& drawing, const FigurePlane& plane, bool shortest_way);

}  // namespace lampflight
