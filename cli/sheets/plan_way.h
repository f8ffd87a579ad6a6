// A flight's way as the plan draws it, and in which sense it goes round.
#pragma once

#include <string>
#include <vector>

#include "cli/sheets/plan_facts.h"
#include "scene/flights/flight_path.h"

namespace lampflight {

/// Places from a flight's first to its last, its corners among them.
std::vector<Vec3> way_of(const FlightPath& path);

/// "clockwise seen from above", "anticlockwise seen from the camera", "sets off on 40°", "climbs
/// first", "hovers".
std::string way_round(const Flight& flight, const std::vector<Vec3>& way_m, const SightLine& sight);

/// "A" to "Z", then "AA", "AB" and so on.
std::string tag_of(std::size_t place);

}  // namespace lampflight
