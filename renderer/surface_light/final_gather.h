// Final gather: light from the hemisphere over a surface: the sky where it is open, and what other
// surfaces send back where it is not. One set of rays serves the sky and every lamp's bounce; a
// second one goes to what the lamps light.
#pragma once

#include <vector>

#include "renderer/geometry/geometry.h"
#include "renderer/sky/sky.h"
#include "renderer/sky/sky_sampler.h"
#include "renderer/surface_light/fill_irradiance_cache.h"
#include "renderer/surface_light/patch_choice.h"

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

/// Rays to what lamps light: how many a point, on the mean over a block, and where their sequence
/// stands: each lane of a block takes a draw in turn.
struct PatchDraws {
    const LitPatches* patches;
    const PatchChoice* choice;
    float rays;
    std::uint32_t sample;  ///< of the film, within the pixel
    std::uint32_t first;   ///< draw of the block among those of its tile
    std::uint32_t seed;    ///< of the tile
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

/// Rays are weighted as one set, by the balance heuristic (Veach & Guibas 1995).
///
/// Over the hemisphere they go by the cosine and, one in eight, by the light of the skies: by the
/// cosine alone so few meet an afterglow or the haze about the moon that one which finds it hidden
/// darkens all points around. Those one in eight tell nothing of the lamps, whose films so do not
/// hang on the sky of the moment.
///
/// With `draws` lamps are looked for where they shine too: a bright patch behind an opening is met
/// by few rays over the hemisphere. No ray weighs more than it would among those alone, so none
/// leaves a bright speck in a corner. The skies have no part in it.
void final_gather(const Surroundings& around, const SurfacePacket& points,
                  const GatherPattern& pattern, const PatchDraws* draws, Gathered& result);

}  // namespace lampflight
