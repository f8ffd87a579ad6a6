// Guides over a photograph: what is planned, where and when, for whoever flies and frames it.
#pragma once

#include <string>
#include <vector>

#include "cli/drawing/canvas.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Draws over a picture of the shoot, whose camera has its size: the planned paths of the takes
/// named, or of the photograph's, with seconds of each take's shutter, thirds, horizon, subjects
/// and points. What stands before a path does not hide it.
void draw_guides(Canvas& canvas, const PlacedShoot& shoot, const std::vector<std::string>& takes);

}  // namespace lampflight
