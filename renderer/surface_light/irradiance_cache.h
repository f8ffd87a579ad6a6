// Irradiance cache: cells that share one sample of light: neighbouring vertices of like normal, so
// that light that bounces costs by area as the lens sees it and not by how finely a mesh is cut.
#pragma once

#include <cstdint>
#include <vector>

#include "renderer/geometry/geometry.h"

namespace lampflight {

struct IrradianceCache {
    /// For every vertex of every mesh of the geometry, its cell.
    std::vector<std::vector<std::uint32_t>> cell_of;
    /// For every cell the vertex that stands for it.
    std::vector<glm::vec3> position_m;
    std::vector<glm::vec3> normal;
};

/// Cells 25 cm wide near the lens, growing with distance from it: 2.5 to 5 % of that.
IrradianceCache irradiance_cache(const Geometry& geometry, const glm::vec3& lens_m);

}  // namespace lampflight
