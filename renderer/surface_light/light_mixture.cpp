#include "renderer/surface_light/light_mixture.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

namespace lampflight {

std::vector<std::vector<float>> areas_m2(const Geometry& geometry) {
    std::vector<std::vector<float>> areas;
    for (const Mesh* mesh : geometry.meshes()) {
        std::vector<float>& of_mesh = areas.emplace_back(mesh->triangles.size());
        tbb::parallel_for(
            tbb::blocked_range<std::size_t>(0, of_mesh.size(), 4096), [&](const auto& range) {
                for (std::size_t t = range.begin(); t < range.end(); ++t)
                    of_mesh[t] = 0.5f * glm::length(across_triangle(*mesh, mesh->triangles[t]));
            });
    }
    return areas;
}

std::vector<float> mixed(const LightMixture& mixture, std::span<const LumenIrradiance> lamps) {
    std::vector<float> sum(lamps.empty() ? 0 : lamps.front().size(), 0.0f);
    for (std::size_t k = 0; k < lamps.size(); ++k)
        for (std::size_t c = 0; c < sum.size(); ++c)
            sum[c] += static_cast<float>(mixture.per_light[k] * static_cast<double>(lamps[k][c]));
    return sum;
}

LightMixture light_mixture(const Geometry& geometry, const IrradianceCache& cells,
                           std::span<const LumenIrradiance> lamps) {
    // For the lamps' say among themselves the corners of a triangle tell enough.
    std::vector<double> reflecting_m2(cells.position_m.size(), 0.0);
    for (std::size_t m = 0; m < geometry.meshes().size(); ++m) {
        const Mesh& mesh = *geometry.meshes()[m];
        for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
            const float twice_m2 = glm::length(across_triangle(mesh, mesh.triangles[t]));
            for (const std::uint32_t corner : mesh.triangles[t])
                reflecting_m2[cells.cell_of[m][corner]] +=
                    static_cast<double>(reflectance_of(mesh, t) * twice_m2) / 6.0;
        }
    }
    LightMixture mixture;
    for (const LumenIrradiance& light : lamps) {
        double sent = 0.0;
        for (std::size_t c = 0; c < light.size(); ++c)
            sent += reflecting_m2[c] * static_cast<double>(light[c]);
        mixture.per_light.push_back(sent > 0.0 ? 1.0 / sent : 0.0);
        if (sent > 0.0) mixture.total += 1.0f;
    }
    mixture.light = mixed(mixture, lamps);
    return mixture;
}

}  // namespace lampflight
