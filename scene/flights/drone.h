// Drones as the scene states them: where they take off, what they can do, how the wind takes them.
#pragma once

#include <string>

#include "scene/basics/vector.h"
#include "scene/flights/flight.h"

namespace lampflight {

struct Drone {
    std::string name;
    Vec3 home_m{0.0};  ///< take-off; its third number is over metre 0
    SpeedLimits limits;
    double mass_kg = 1.2;         ///< with its lamps
    double drag_area_m2 = 0.015;  ///< frontal area times drag coefficient
};

}  // namespace lampflight
