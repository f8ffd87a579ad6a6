// The pen: when the lamps of a flight draw, and how they point meanwhile.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/shoot/flown_flight.h"

namespace lampflight {

/// From when on a lamp points so.
struct AimChange {
    double from_s;
    std::optional<Aim> aim;  ///< nothing for the lamp's own
};

struct PenTimes {
    TimeWindows lit;              ///< while the shutter is open
    std::vector<AimChange> aims;  ///< rising, the first as the flight begins
};

/// Of one lamp of a flight: by what its waypoints say, and then by the scene's stretches.
PenTimes pen_times(const Shoot& shoot, const FlownFlight& flown, const std::string& lamp);

}  // namespace lampflight
