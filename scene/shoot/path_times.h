// When a flight begins and ends, in seconds from the shutter's opening.
#pragma once

#include <algorithm>

#include "scene/flights/flight_path.h"

namespace lampflight {

struct PathTimes {
    double begins_s, ends_s;  ///< of the whole flight
    double from_s, to_s;      ///< of what is flown while the shutter is open; none where not rising
};

/// `Path` is a `FlightPath`; one that says nothing of its beginning begins as the shutter opens.
template <class Path>
PathTimes path_times(const Path& path, double shutter_s) {
    double begins_s = 0.0;
    if constexpr (requires { path.begins_s(); }) begins_s = path.begins_s();
    double ends_s = begins_s + path.duration_s();
    if constexpr (requires { path.ends_s(); }) ends_s = path.ends_s();
    return {begins_s, ends_s, std::max(0.0, begins_s), std::min(shutter_s, ends_s)};
}

}  // namespace lampflight
