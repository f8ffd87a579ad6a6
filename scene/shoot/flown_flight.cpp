#include "scene/shoot/flown_flight.h"

#include <algorithm>

namespace lampflight {

std::vector<FlownFlight> flown_flights(const Shoot& shoot, const Take& take) {
    const double shutter_s = settings_of(shoot, take).shutter_s;
    std::vector<FlownFlight> flown;
    for (const std::string& name : take.flights) {
        const Flight* flight = find_named(shoot.flights, name);
        if (!flight) continue;
        FlightPath path(*flight, shutter_s);
        const double flown_s = std::min(shutter_s, path.duration_s());
        flown.push_back({flight, std::move(path), flown_s});
    }
    return flown;
}

}  // namespace lampflight
