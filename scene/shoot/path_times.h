// When a flight is in the air, and when while the shutter is open; in seconds from its opening.
#pragma once

#include <algorithm>

#include "scene/flights/flight_path.h"

namespace lampflight {

struct PathTimes {
    double begins_s, ends_s;  ///< of the whole flight
    double from_s, to_s;      ///< of what is flown while the shutter is open; none where not rising
};

inline PathTimes path_times(const FlightPath& path, double shutter_s) {
    return {path.begins_s(), path.ends_s(), std::max(0.0, path.begins_s()),
            std::min(shutter_s, path.ends_s())};
}

}  // namespace lampflight
