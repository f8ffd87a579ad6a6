// Corners of a drawn path: rounded, cut as closely as a drone can tell, or stopped in.
#pragma once

#include <optional>

#include "scene/flights/route.h"
#include "scene/flights/waypoint.h"

namespace lampflight {

/// How far from a corner the course may stay where no radius is stated: less than satellite
/// positioning can tell (common practice, no source).
constexpr double corner_cut_m = 0.05;

/// Vertices nearer to each other are one.
constexpr double same_place_m = 1e-6;

/// The legs between the vertices, joined by arcs tangent to both, which use up to half of each leg.
/// `corner_radius_m` is for corners without a radius of their own. A stop where the drone holds,
/// where the radius is 0 and where the course turns back. Each leg reaches to the middle of an arc.
Route rounded_route(const Waypoints& vertices, std::optional<double> corner_radius_m);

}  // namespace lampflight
