// Clearance: how near a flight passes to a subject or to another flight, and points to a mesh.
#pragma once

#include "scene/basics/time_windows.h"
#include "scene/flights/flight_path.h"
#include "scene/subjects/box.h"

namespace lampflight {

/// Shortest distance in metres from a point to a box; 0 inside it.
double distance_m(const Vec3& point_m, const Box& box);

/// Shortest distance in metres from a point to a mesh's surface if that is less than
/// `look_within_m`, else that.
double distance_m(const Vec3& point_m, const Mesh& mesh, double look_within_m);

/// Whether a point lies inside a closed mesh, or below one that is open downwards.
bool is_inside(const Vec3& point_m, const Mesh& mesh);

/// Shortest distance in metres from a flight, while it lasts, to a subject's mesh. Exact to its
/// surface where that is nearer than `look_within_m` (a distance to the box serves beyond). What
/// hangs below by so much counts as the drone does.
double clearance_m(const FlightPath& path, const TimeWindow& times, const Mesh& mesh,
                   double look_within_m, double hanging_m = 0.0);

/// Shortest distance in metres between two flights at the same moment of these times.
double separation_m(const FlightPath& one, const FlightPath& other, const TimeWindow& times);

}  // namespace lampflight
