// The flights of a take on their paths.
#pragma once

#include <vector>

#include "scene/flights/flight_path.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

struct FlownFlight {
    const Flight* flight;
    FlightPath path;
    double flown_s;  ///< in the air while the shutter is open
};

/// In the take's order.
std::vector<FlownFlight> flown_flights(const Shoot& shoot, const Take& take);

}  // namespace lampflight
