// Waypoints: the corners of a flight that is drawn, and what holds for the leg from each to the next.
#pragma once

#include <optional>
#include <vector>

#include "scene/basics/vector.h"
#include "scene/lamps/aim.h"

namespace lampflight {

struct Waypoint {
    Vec3 at_m{0.0};
    bool through = false;  ///< a point of a curve, not a corner: flown through whatever the radius
    double hold_s = 0.0;   ///< how long the drone stands still here, just here
    std::optional<double> corner_radius_m{};  ///< of the turn here; 0 stops for it

    // Of the leg that begins here.
    std::optional<double> speed_m_s{};  ///< the fastest on it
    bool lit = true;
    std::optional<Aim> aim{};  ///< instead of the lamps' own
};

using Waypoints = std::vector<Waypoint>;

}  // namespace lampflight
