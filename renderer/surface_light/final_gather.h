// Final gather: light from the hemisphere over a surface: the sky where it is open, and what other
// surfaces send back where it is not. One set of rays serves the sky and every lamp's bounce.
#pragma once

#include <vector>

#include "renderer/geometry/geometry.h"
#include "renderer/sky/sky.h"
#include "renderer/sky/sky_sampler.h"
#include "renderer/surface_light/fill_irradiance_cache.h"

namespace lampflight {

/// What falls on the points of a packet, by source. Rays err over how bright the sky is; how much
/// of it is hidden they know better. So the sky's own light is told as a share: `seen` of `asked`,
/// the same rays' light with and without what hides the sky, of `Sky::irradiance_lx`. Means of many
/// points are to be taken of both before the share is.
struct GatheredSky {
    std::array<glm::vec3, packet_size> asked_lx;
    std::array<glm::vec3, packet_size> seen_lx;
    std::array<glm::vec3, packet_size> bounced_lx;
};

struct Gathered {
    std::vector<GatheredSky> skies;  ///< the same rays' light under each of them
    std::vector<std::array<glm::vec3, packet_size>> lamps_lxs;  ///< bounced light only
};

/// Directions of a packet: how many a point, which packet of a block of film, which block.
struct GatherPattern {
    int count;
    std::uint32_t packet;
    std::uint32_t seed;
};

/// Share of the open sky's light, by colour, that is seen.
inline glm::vec3 seen_share(const glm::vec3& seen_lx, const glm::vec3& asked_lx) {
    return seen_lx / glm::max(asked_lx, glm::vec3(1e-30f));
}

/// What the rays may find. Without `bounced` surfaces send nothing back.
struct Surroundings {
    const Geometry& geometry;
    const std::vector<const Sky*>& skies;
    const SkySampler& shining;  ///< of these skies
    const IrradianceCache& cells;
    const BouncedLight* bounced;
};

/// By the cosine and, one in eight, by the light of the skies, weighted as one set (the balance
/// heuristic, Veach & Guibas 1995): by the cosine alone so few rays meet an afterglow or the haze
/// about the moon that one which finds it hidden darkens all points around. Evenly spread over the
/// lanes of the packet too.
void final_gather(const Surroundings& around, const SurfacePacket& points,
                  const GatherPattern& pattern, Gathered& result);

}  // namespace lampflight
