// The meter's readings at named points.
#pragma once

#include "renderer/meter/meter.h"

namespace lampflight {

/// One reading for each of the shoot's points, in their order.
std::vector<PointReading> read_points(const PlacedShoot& shoot,
                                      const std::vector<ExposedTake>& takes, const Image& picture);

}  // namespace lampflight
