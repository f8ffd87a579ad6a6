// Lights of drones themselves, as lamps that their flights carry.
#pragma once

#include <cstddef>
#include <vector>

#include "scene/shoot/shoot.h"

namespace lampflight {

struct OwnLight {
    Lamp lamp;
    std::size_t drone;                 ///< its place in the shoot's list
    std::vector<std::size_t> flights;  ///< those on which it burns, likewise
};

/// Of every drone that flies: position lights that show and, with a rate, the beacon. Where flights
/// of one [[drone]] are in the air together, each has lights of its own.
std::vector<OwnLight> own_lights(const Shoot& shoot);

/// Adds them to the lamps of a shoot, behind its own, and to what flights carry.
void add_own_lights(Shoot& shoot);

}  // namespace lampflight
