// The outline of a mesh as it is seen along a straight line from afar: its silhouette.
#pragma once

#include <functional>
#include <vector>

#include "cli/drawing/canvas.h"
#include "scene/subjects/mesh.h"

namespace lampflight {

using Outline = std::vector<Vec2>;  ///< closed: the last corner joins the first

/// Where a point of the world lies on the drawing.
using OnDrawing = std::function<Vec2(const Vec3& world_m)>;

/// Outlines of all that a mesh covers of a box on the drawing, holes as outlines of their own;
/// exact to about `cell`, and as wide at least. None where it covers nothing there.
std::vector<Outline> outlines_of(const Mesh& mesh, const OnDrawing& on_drawing,
                                 const PixelBox& room, double cell);

}  // namespace lampflight
