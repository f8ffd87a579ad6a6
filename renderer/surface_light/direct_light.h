// Direct light of the disc of the sun or the moon.
#pragma once

#include "renderer/geometry/geometry.h"
#include "renderer/sky/sky.h"
#include "renderer/surface_light/final_gather.h"

namespace lampflight {

/// Lux on each point of a packet from a disc in the sky, the share of it in view by `pattern.count`
/// shadow rays a point, spread over the disc and the lanes. None where nothing was found.
std::array<glm::vec3, packet_size> direct_lx(const Geometry& geometry, const SunMoonDisc& disc,
                                             const SurfacePacket& points,
                                             const GatherPattern& pattern);

}  // namespace lampflight
