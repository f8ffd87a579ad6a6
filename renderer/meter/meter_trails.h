// The meter's readings of trails: where they are brightest, and how wide they show there.
#pragma once

#include "renderer/meter/meter.h"

namespace lampflight {

/// By lamp; a lamp that leaves no light on the film has none.
std::map<std::string, TrailReading> read_trails(const std::vector<ExposedTake>& takes,
                                                const Image& picture);

/// Shortest way through a place of a developed picture along which its strongest colour stays at
/// half of white or more, in pixels, between pixels by straight lines: 0 where the place itself is
/// darker, nothing where the frame ends first in every direction.
std::optional<double> width_at_half_of_white(const Image& over_mid_grey, const Vec2& place_px);

}  // namespace lampflight
