// Lights of drones themselves, as lamps that their flights carry.
#pragma once

#include "scene/shoot/shoot.h"

namespace lampflight {

/// Adds them to the lamps of a shoot, behind its own, and to what flights carry.
void add_own_lights(Shoot& shoot);

}  // namespace lampflight
