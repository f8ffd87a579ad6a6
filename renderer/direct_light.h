// Light straight from the disc of the sun or the moon.
#pragma once

#include "renderer/gather.h"
#include "renderer/sky.h"
#include "renderer/stage.h"

namespace lampflight {

/// Lux on each point of a packet from a disc in the sky, the share of it in view by `pattern.count`
/// shadow rays a point, spread over the disc and the lanes. None where nothing was found.
std::array<glm::vec3, packet_size> direct_lx(const Stage& stage, const DirectLight& disc,
                                             const SurfacePacket& points,
                                             const GatherPattern& pattern);

}  // namespace lampflight
