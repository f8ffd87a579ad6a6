// Isosurface extraction: a surface given by a signed distance, made into triangles.
#pragma once

#include <functional>

#include "scene/subjects/box.h"

namespace lampflight {

/// Metres to the surface, negative inside. Need not be exact, and may overstate a little: surface
/// is found from blocks of cells whose middle claims to be near, and followed from there.
using SignedDistance = std::function<double(const Vec3& place_m)>;

/// Adds the surface inside the box to a mesh, as cells of this size see it: closed, anticlockwise
/// seen from outside, with normals from the distance's gradient. The surface must lie wholly inside
/// the box. Dual to marching cubes: one vertex for each sheet of the surface in a cell, joined
/// across the cell edges that the surface crosses (Nielson, "Dual marching cubes", IEEE
/// Visualization 2004); cells far from the surface are left out by whole blocks.
void add_isosurface(Mesh& mesh, const SignedDistance& distance_m, const Box& box, double cell_m,
                    std::uint16_t material);

}  // namespace lampflight
