#include "renderer/surface_light/light_mixture.h"

#include <algorithm>
#include <functional>

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

namespace lampflight {
namespace {

std::vector<float> reflecting_m2_of(const Mesh& mesh) {
    std::vector<float> shares;
    for (const Material& material : mesh.materials)
        shares.push_back(static_cast<float>(luminance(material.reflectance)));
    std::vector<float> reflecting_m2(mesh.triangles.size());
    tbb::parallel_for(
        tbb::blocked_range<std::size_t>(0, mesh.triangles.size(), 4096), [&](const auto& range) {
            for (std::size_t t = range.begin(); t < range.end(); ++t)
                reflecting_m2[t] = 0.5f * glm::length(across_triangle(mesh, mesh.triangles[t])) *
                                   shares[mesh.material_of[t]];
        });
    return reflecting_m2;
}

}  // namespace

LightMixture::LightMixture(const Geometry& geometry, const IrradianceCache& cells,
                           std::span<const LumenIrradiance> lamps) {
    for (const Mesh* mesh : geometry.meshes()) reflecting_m2_.push_back(reflecting_m2_of(*mesh));
    std::vector<double> of_cell_m2(cells.position_m.size(), 0.0);
    for (std::size_t m = 0; m < reflecting_m2_.size(); ++m)
        for (std::size_t t = 0; t < reflecting_m2_[m].size(); ++t)
            for (const std::uint32_t corner : geometry.meshes()[m]->triangles[t])
                of_cell_m2[cells.cell_of[m][corner]] +=
                    static_cast<double>(reflecting_m2_[m][t]) / 3.0;
    for (const LumenIrradiance& light : lamps) {
        double sent = 0.0;
        for (std::size_t c = 0; c < light.size(); ++c)
            sent += of_cell_m2[c] * static_cast<double>(light[c]);
        per_light_.push_back(sent > 0.0 ? 1.0 / sent : 0.0);
        if (sent > 0.0) total_ += 1.0f;
    }
}

std::vector<float> LightMixture::of(std::span<const LumenIrradiance> lamps) const {
    std::vector<float> sum(lamps.empty() ? 0 : lamps.front().size(), 0.0f);
    for (std::size_t k = 0; k < lamps.size(); ++k)
        std::ranges::transform(sum, of(k, lamps[k]), sum.begin(), std::plus{});
    return sum;
}

LumenIrradiance LightMixture::of(std::size_t lamp, const LumenIrradiance& light) const {
    LumenIrradiance share(light.size());
    for (std::size_t c = 0; c < light.size(); ++c)
        share[c] = static_cast<float>(per_light_[lamp] * static_cast<double>(light[c]));
    return share;
}

}  // namespace lampflight
