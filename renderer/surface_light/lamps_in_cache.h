// Lamps in the irradiance cache: their direct light on its cells, which it makes finer where that
// light steps.
#pragma once

#include <optional>
#include <span>
#include <stop_token>
#include <vector>

#include "renderer/lamp_light/lamp_track.h"
#include "renderer/surface_light/lit_patches.h"

namespace lampflight {

struct LampsInCache {
    std::vector<CachedIrradiance> light_lxs;  ///< by lamp
    LitPatches patches;                       ///< refers to the geometry and the cells
};

/// By so many instants, a power of two, in every cell that there is; in cells that are added, of
/// which there may be as many again, by fewer. Nothing if stopped.
std::optional<LampsInCache> lamps_in_cache(const Geometry& geometry,
                                           std::span<const LampTrack* const> lamps, int instants,
                                           const std::stop_token& stop, IrradianceCache& cells);

}  // namespace lampflight
