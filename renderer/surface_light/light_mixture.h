// How much light surfaces send back, all lamps together, each as strong as the others.
#pragma once

#include <span>
#include <vector>

#include "renderer/surface_light/irradiance_cache.h"

namespace lampflight {

/// Direct light of a lamp of one lumen at some points, in lux seconds.
using LumenIrradiance = std::vector<float>;

struct LightMixture {
    /// On every cell; times reflectance, what a square metre there sends back, where all that a
    /// lamp makes surfaces send back counts as one.
    std::vector<float> light;
    std::vector<double> per_light;  ///< by lamp: what its light counts
    float total = 0.0f;             ///< lamps that light anything
};

/// The mixture of the lamps' light somewhere else.
std::vector<float> mixed(const LightMixture& mixture, std::span<const LumenIrradiance> lamps);

LightMixture light_mixture(const Geometry& geometry, const IrradianceCache& cells,
                           std::span<const LumenIrradiance> lamps);

/// Luminance of a triangle's reflectance.
inline float reflectance_of(const Mesh& mesh, std::size_t triangle) {
    return static_cast<float>(luminance(mesh.materials[mesh.material_of[triangle]].reflectance));
}

/// Across a triangle, twice its area long.
inline glm::vec3 across_triangle(const Mesh& mesh, const std::array<std::uint32_t, 3>& corners) {
    const glm::vec3 a = mesh.positions[corners[0]];
    return glm::cross(mesh.positions[corners[1]] - a, mesh.positions[corners[2]] - a);
}

/// Of the geometry's triangles, by mesh.
std::vector<std::vector<float>> areas_m2(const Geometry& geometry);

}  // namespace lampflight
