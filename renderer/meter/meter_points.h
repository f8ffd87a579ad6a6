// The meter's readings at named points.
#pragma once

#include "renderer/lens/point_spread.h"
#include "renderer/meter/meter.h"

namespace lampflight {

/// One reading for each of the shoot's points, in their order. `spreads` are the camera's.
std::vector<PointReading> read_points(const PlacedShoot& shoot,
                                      const std::vector<ExposedTake>& takes, const Image& picture,
                                      PointSpreads& spreads);

}  // namespace lampflight
