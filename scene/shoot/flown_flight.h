// The flights of a take on their paths, one after another where one drone flies them.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "scene/flights/flight_path.h"
#include "scene/shoot/shoot.h"

namespace lampflight {

struct FlownFlight {
    const Flight* flight;
    FlightPath path;
    double flown_s;                ///< in the air while the shutter is open
    const Flight* from = nullptr;  ///< for the way from that flight's end to the start of this one

    /// On the shutter's clock, at a share of that time.
    double time_s(double share) const { return path.begins_s() + share * flown_s; }
    double until_s() const { return path.begins_s() + flown_s; }
};

/// In the take's order.
std::vector<FlownFlight> flown_flights(const Shoot& shoot, const Take& take);

/// The ways of a take's drones between their flights, straight and from rest to rest.
std::vector<FlownFlight> flown_ways(const Shoot& shoot, const Take& take,
                                    const std::vector<FlownFlight>& flown);

/// Place in a take's list of the flight that the same drone flies just before; nothing for its first.
std::optional<std::size_t> flight_before(const Shoot& shoot, const Take& take, std::size_t place);

/// How far down the longest strip of light hangs that a flight carries, in metres; 0 for none.
double hangs_m(const Shoot& shoot, const Flight& flight);

/// The drone that flies a flight in the scene's list: its own, or that of the flight it comes after;
/// the only one there is where it names none. Nothing where the scene tells of none.
const Drone* drone_of(const Shoot& shoot, const Flight& flight);

}  // namespace lampflight
