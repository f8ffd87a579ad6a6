// Filling the irradiance cache: light kept in the cells of the geometry, for what bounces: indirect
// light is smooth, so one sample a cell holds it, and a gathering ray then costs one look-up
// instead of a shutter of its own.
#pragma once

#include <vector>

#include "renderer/sky/sky.h"
#include "renderer/surface_light/irradiance_cache.h"

namespace lampflight {

/// What bounces: light that has fallen on the cells by any way, by source.
struct BouncedLight {
    std::vector<CachedIrradiance> skies_lx;   ///< with their discs
    std::vector<CachedIrradiance> lamps_lxs;  ///< in the order given
};

/// The skies' light in cells, their discs' too, and `bounces - 1` rounds of light between surfaces
/// added to all of it, so that one last gathering ray finds everything.
BouncedLight bounce_in_cache(const Geometry& geometry, const IrradianceCache& cells,
                             const std::vector<const Sky*>& skies,
                             const std::vector<CachedIrradiance>& lamps_lxs, int bounces,
                             int directions);

}  // namespace lampflight
