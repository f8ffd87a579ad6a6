#include "renderer/surface_light/refine_irradiance_cache.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace lampflight {
namespace {

// Cells of one triangle that differ by more than this share of the brighter.
constexpr float uneven = 0.4f;

// Of all light that is sent back: less at stake is left as it is.
constexpr float least_at_stake = 1e-7f;

// How far a triangle's own cells keep off its sides, as a share of the way to its middle: beside a
// corner of two surfaces a point on the very side is in the dark.
constexpr float off_side = 0.1f;

/// A cell, or a triangle, and how much light is at stake in it.
struct Stake {
    float light;
    std::uint32_t mesh;
    std::uint32_t number;
};

/// The largest first, so many at most.
void keep_largest(std::vector<Stake>& stakes, std::size_t most) {
    const auto before = [](const Stake& a, const Stake& b) {
        return std::tuple(-a.light, a.mesh, a.number) < std::tuple(-b.light, b.mesh, b.number);
    };
    std::ranges::sort(stakes, before);
    stakes.resize(std::min(stakes.size(), most));
}

/// Calls `visit(mesh number, triangle number, step)` for all triangles whose corners' light is
/// uneven: by how much.
template <class Visit>
void for_each_uneven(const Geometry& geometry, const IrradianceCache& cells,
                     const std::vector<float>& light, Visit visit) {
    for (std::uint32_t m = 0; m < geometry.meshes().size(); ++m) {
        const std::vector<std::uint32_t>& cell_of = cells.fine_cell_of[m];
        const auto& triangles = geometry.meshes()[m]->triangles;
        for (std::uint32_t t = 0; t < triangles.size(); ++t) {
            const auto& corners = triangles[t];
            const auto [least, most] =
                std::minmax({light[cell_of[corners[0]]], light[cell_of[corners[1]]],
                             light[cell_of[corners[2]]]});
            if (most - least > uneven * most) visit(m, t, most - least);
        }
    }
}

/// For every cell by how much the light steps within it or to a neighbour; 0 where it is even.
std::vector<float> steps_of_cells(const Geometry& geometry, const IrradianceCache& cells,
                                  const std::vector<float>& light,
                                  const std::vector<float>& at_far) {
    std::vector<float> step(light.size(), 0.0f);
    for (std::size_t cell = 0; cell < step.size(); ++cell) {
        const float by = std::abs(light[cell] - at_far[cell]);
        if (by > uneven * std::max(light[cell], at_far[cell])) step[cell] = by;
    }
    // A shadow's edge may lie anywhere in the cells on either side of a step.
    for_each_uneven(geometry, cells, light, [&](std::uint32_t m, std::uint32_t t, float by) {
        for (const std::uint32_t corner : geometry.meshes()[m]->triangles[t]) {
            float& of_cell = step[cells.cell_of[m][corner]];
            of_cell = std::max(of_cell, by);
        }
    });
    return step;
}

/// Which cells give way to those of their vertices.
std::vector<bool> cells_to_split(const Geometry& geometry, const IrradianceCache& cells,
                                 const LightMixture& mixture, const std::vector<float>& step,
                                 std::size_t most_cells) {
    std::vector<float> reflecting_m2(step.size(), 0.0f);
    std::vector<std::uint32_t> vertices(step.size(), 0);
    for (std::uint32_t m = 0; m < geometry.meshes().size(); ++m) {
        const std::vector<std::uint32_t>& cell_of = cells.cell_of[m];
        for (const std::uint32_t cell : cell_of) ++vertices[cell];
        const auto& triangles = geometry.meshes()[m]->triangles;
        for (std::uint32_t t = 0; t < triangles.size(); ++t)
            reflecting_m2[cell_of[triangles[t][0]]] += mixture.reflecting_m2(m, t);
    }
    std::vector<Stake> stakes;
    for (std::uint32_t cell = 0; cell < step.size(); ++cell) {
        const float light = step[cell] * reflecting_m2[cell];
        if (vertices[cell] > 1 && light > least_at_stake * mixture.total())
            stakes.push_back({light, 0, cell});
    }
    keep_largest(stakes, stakes.size());
    std::vector<bool> split(step.size(), false);
    std::size_t made = 0;
    for (const Stake& stake : stakes) {
        made += vertices[stake.number];
        if (made > most_cells) break;
        split[stake.number] = true;
    }
    return split;
}

/// Weights of a triangle's corners at the places of its own cells, row by row.
std::vector<std::array<float, 3>> places_in_triangle() {
    constexpr int steps = IrradianceCache::steps_of_side;
    std::vector<std::array<float, 3>> places;
    for (int row = 0; row <= steps; ++row)
        for (int place = 0; place + row <= steps; ++place) {
            const auto inwards = [](int step) {
                const float along = static_cast<float>(step) / steps;
                return along + off_side * (1.0f / 3.0f - along);
            };
            places.push_back({inwards(steps - row - place), inwards(place), inwards(row)});
        }
    return places;
}

}  // namespace

void refine_to_vertices(const Geometry& geometry, const LightMixture& mixture,
                        std::span<const LumenIrradiance> lamps,
                        std::span<const LumenIrradiance> far, std::size_t most_cells,
                        IrradianceCache& cells) {
    if (mixture.total() == 0.0f) return;
    const std::vector<bool> split = cells_to_split(
        geometry, cells, mixture,
        steps_of_cells(geometry, cells, mixture.of(lamps), mixture.of(far)), most_cells);
    for (std::uint32_t m = 0; m < geometry.meshes().size(); ++m) {
        const Mesh& mesh = *geometry.meshes()[m];
        for (std::uint32_t v = 0; v < mesh.positions.size(); ++v) {
            const std::uint32_t cell = cells.cell_of[m][v];
            if (!split[cell]) continue;
            cells.fine_cell_of[m][v] = static_cast<std::uint32_t>(cells.position_m.size());
            cells.position_m.push_back(receiving_m(mesh, v));
            cells.normal.push_back(mesh.normals[v]);
            cells.blend_of_fine.push_back({{cell, cell, cell}, {1.0f, 0.0f, 0.0f}});
        }
    }
}

void refine_triangles(const Geometry& geometry, const LightMixture& mixture,
                      std::span<const LumenIrradiance> lamps, std::size_t most_cells,
                      IrradianceCache& cells) {
    if (mixture.total() == 0.0f) return;
    const std::vector<float> light = mixture.of(lamps);
    std::vector<Stake> stakes;
    for_each_uneven(geometry, cells, light, [&](std::uint32_t m, std::uint32_t t, float step) {
        const float at_stake = step * mixture.reflecting_m2(m, t);
        if (at_stake > least_at_stake * mixture.total()) stakes.push_back({at_stake, m, t});
    });
    keep_largest(stakes, most_cells / IrradianceCache::cells_of_triangle);
    const auto places = places_in_triangle();
    for (const Stake& stake : stakes) {
        const Mesh& mesh = *geometry.meshes()[stake.mesh];
        const auto& corners = mesh.triangles[stake.number];
        const std::vector<std::uint32_t>& cell_of = cells.cell_of[stake.mesh];
        cells.first_of_triangle[stake.mesh][stake.number] =
            static_cast<std::uint32_t>(cells.position_m.size());
        for (const std::array<float, 3>& share : places) {
            glm::vec3 position_m(0.0f), normal(0.0f);
            for (std::size_t k = 0; k < 3; ++k) {
                position_m += share[k] * receiving_m(mesh, corners[k]);
                normal += share[k] * mesh.normals[corners[k]];
            }
            const float length = glm::length(normal);
            cells.position_m.push_back(position_m);
            cells.normal.push_back(length > 1e-6f ? normal / length : mesh.normals[corners[0]]);
            cells.blend_of_fine.push_back(
                {{cell_of[corners[0]], cell_of[corners[1]], cell_of[corners[2]]}, share});
        }
    }
}

}  // namespace lampflight
