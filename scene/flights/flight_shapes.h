// Parametric curves of the flights' shapes.
#pragma once

#include <functional>

#include "scene/flights/flight.h"

namespace lampflight {

/// From [0, 1], and a little beyond, to world metres.
using Curve = std::function<Vec3(double)>;

/// The whole flight, all its turns.
Curve curve_of(const Flight& flight);

/// Of the figure: a circle's at its height, a helix's halfway up, a line's middle.
Vec3 centre_of(const Flight& flight);

/// How often the flight goes round; a line once.
double turns_of(const Flight& flight);

/// True for shapes that come back on themselves, where a gap or an overlap can be spoken of.
bool closes(FlightShape shape);

}  // namespace lampflight
