// Guides of the frame itself: its thirds, and the horizon.
#pragma once

#include <vector>

#include "cli/sheets/guide_ink.h"
#include "scene/camera/camera.h"

namespace lampflight {

/// Two lines across and two up, faint.
void draw_thirds(Canvas& canvas, const OverlaySizes& sizes);

/// Where the lens sees what lies level with it, infinitely far: places on the film in pixels, from
/// left to right, in pieces within the frame. Hills stand above it; the dip that height gives the
/// sea's horizon is left out.
std::vector<std::vector<Vec2>> horizon_places(const Camera& camera);

/// A line of long dashes along these places, stronger than the thirds.
void draw_horizon(Canvas& canvas, const OverlaySizes& sizes,
                  const std::vector<std::vector<Vec2>>& places);

}  // namespace lampflight
