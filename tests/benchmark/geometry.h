// Meshes of the benchmark's own scenes: the same on every machine, in metres.
#pragma once

#include "scene/subjects/mesh.h"

namespace lampflight::bench {

/// Height of the displaced ground at a place.
double ground_height_m(const Vec2& place_m);

/// A square of so many cells a side about the origin, two triangles a cell, with relief.
Mesh displaced_ground(int cells, double side_m);

/// A lump of stone, 82 thousand triangles.
Mesh rock(const Vec3& middle_m, double radius_m);

/// A box that stands on the ground, turned about the vertical.
Mesh box(const Vec2& place_m, const Vec3& size_m, double turn_deg);

/// Upright poles from one place to another, both ends included.
Mesh fence(const Vec2& from_m, const Vec2& to_m, int poles, double pole_diameter_m,
           double height_m);

/// Leaves of two triangles each, strewn in a ball and turned at random.
Mesh leaves(const Vec3& middle_m, double ball_radius_m, int count, double leaf_m,
            std::uint32_t seed);

}  // namespace lampflight::bench
