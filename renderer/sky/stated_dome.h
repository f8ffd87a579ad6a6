// A sky of stated level and colour: a smooth rise of luminance and warmth towards the horizon, more
// so about the afterglow's bearing if it has one.
#pragma once

#include "renderer/sky/sky_table.h"
#include "scene/sky/sky_light.h"

namespace lampflight {

/// Scaled so that open level ground receives just the stated illuminance in just the stated colour.
SkyTable stated_dome(const SkyLight& light);

}  // namespace lampflight
