// Routes of the flights' shapes.
#pragma once

#include "scene/flights/flight.h"
#include "scene/flights/route.h"

namespace lampflight {

/// More lanes of a sweep than this are not flown.
constexpr int most_lanes = 10000;

/// The whole flight, all its turns.
Route route_of(const Flight& flight);

/// Lanes of a sweep, at least one: as many as find room across its width.
int lanes_of(const Flight& flight);

/// Of a star's corners between its tips: as stated, else where the lines of the star polygon {n/2}
/// cross; half the tips' for fewer than five tips.
double inner_radius_of(const Flight& flight);

/// Of the figure: a circle's at its height, a helix's and a spiral's halfway up, a line's middle,
/// the middle of the box around waypoints.
Vec3 centre_of(const Flight& flight);

/// How often the flight goes round; what is no circle, ring, helix or spiral once.
double turns_of(const Flight& flight);

/// True for shapes that come back on themselves, where a gap or an overlap can be spoken of.
bool closes(FlightShape shape);

/// Whether a flight is drawn by corners: a star, a sweep, waypoints, a figure.
bool is_drawn(FlightShape shape);

/// Whether the flight ends where it began, to a centimetre, having been elsewhere.
bool ends_where_it_began(const Flight& flight);

}  // namespace lampflight
