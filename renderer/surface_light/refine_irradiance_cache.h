// Adaptive irradiance cache: where lamplight changes from cell to cell, as at the edge of a shadow,
// vertices get cells of their own, and where it still does, triangles get finer ones than they are.
#pragma once

#include <span>

#include "renderer/surface_light/light_mixture.h"

namespace lampflight {

/// Gives vertices of uneven cells their own, so many at most: first where most light is at stake.
/// `far` is the lamps' light at the cells' far points.
void refine_to_vertices(const Geometry& geometry, const LightMixture& mixture,
                        std::span<const LumenIrradiance> lamps,
                        std::span<const LumenIrradiance> far, std::size_t most_cells,
                        IrradianceCache& cells);

/// Gives uneven triangles cells of their own, so many at most, likewise. To be called last.
void refine_triangles(const Geometry& geometry, const LightMixture& mixture,
                      std::span<const LumenIrradiance> lamps, std::size_t most_cells,
                      IrradianceCache& cells);

}  // namespace lampflight
