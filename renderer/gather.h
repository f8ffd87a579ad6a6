// Light from the hemisphere over a surface: the sky where it is open, and what other surfaces send
// back where it is not. One set of rays serves the sky and every lamp's bounce.
#pragma once

#include <vector>

#include "renderer/cell_light.h"
#include "renderer/sky.h"
#include "renderer/stage.h"

namespace lampflight {

/// What falls on the points of a packet, by source.
struct Gathered {
    std::array<glm::vec3, packet_size> sky_lx;
    std::vector<std::array<glm::vec3, packet_size>> lamps_lxs;  ///< bounced light only
};

/// Directions of a packet: how many a point, which packet of a block of film, which block.
struct GatherPattern {
    int count;
    std::uint32_t packet;
    std::uint32_t seed;
};

/// Cosine-weighted, evenly spread over the lanes of the packet too. Without `bounced` surfaces send
/// nothing back.
void gather(const Stage& stage, const Sky& sky, const SurfacePacket& points,
            const LightCells& cells, const BouncedLight* bounced, const GatherPattern& pattern,
            Gathered& result);

}  // namespace lampflight
