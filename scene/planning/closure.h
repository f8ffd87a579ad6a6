// Closure: whether the line meets its own beginning when the shutter closes.
#pragma once

#include <optional>

#include "scene/flights/flight_path.h"

namespace lampflight {

struct Closure {
    double m;                   ///< length along the curve of the gap or overlap
    std::optional<double> deg;  ///< minus: gap; only for circle and ring. Others have gaps alone
};

/// Of a flight whose every speed is this share of the planned one, its lamps lit from the shutter's
/// opening to its end. Circle and ring by turns, from a whole one on; other shapes where they end
/// within 5 cm of where they began. Nothing for those that don't.
std::optional<Closure> closure_of(const Flight& flight, const FlightPath& path, double shutter_s,
                                  double speed_share = 1.0);

/// The whole turns that a flight of so many is meant for: the nearest number, at least one.
double whole_turns(double turns);

}  // namespace lampflight
