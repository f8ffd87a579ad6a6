// Clearance: boxes about subjects, and how near a flight passes to them.
#pragma once

#include "scene/flights/flight.h"
#include "scene/subjects/subject.h"

namespace lampflight {

/// An upright box in the world, metres.
struct Box {
    Vec3 low;
    Vec3 high;

    Vec3 middle() const { return 0.5 * (low + high); }
};

/// Box of a subject's placed mesh; a person's size about its position while it has no mesh.
Box box_of(const Subject& subject);

/// Shortest distance in metres from a point to a box; 0 inside it.
double distance_m(const Vec3& point_m, const Box& box);

/// Shortest distance in metres from a flight's first `until_s` seconds to a subject. Exact to its
/// surface where that is nearer than `look_within_m` (a distance to the box serves beyond).
double clearance_m(const FlightPath& path, double until_s, const Subject& subject,
                   double look_within_m);

/// Shortest distance in metres between two flights at the same moment of their first `until_s`.
double separation_m(const FlightPath& one, const FlightPath& other, double until_s);

}  // namespace lampflight
