// Irradiance cache: cells that share one sample of light: neighbouring vertices of like normal, so
// that light that bounces costs by area as the lens sees it and not by how finely a mesh is cut.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <vector>

#include "renderer/geometry/geometry.h"

namespace lampflight {

/// Points of surfaces, side by side.
struct SurfacePoints {
    std::vector<glm::vec3> position_m;
    std::vector<glm::vec3> normal;
};

/// Where light is looked for at a vertex: on the smooth surface that the normals tell of.
inline glm::vec3 receiving_m(const Mesh& mesh, std::uint32_t vertex) {
    return mesh.bulges_m.empty() ? mesh.positions[vertex]
                                 : mesh.positions[vertex] + mesh.bulges_m[vertex];
}

/// For every cell the point that stands for it.
struct IrradianceCache : SurfacePoints {
    static constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();

    /// Cells that follow each other, of one mesh and facing alike.
    struct Run {
        std::uint32_t mesh;
        std::uint32_t first;
        std::uint32_t end;
    };

    /// What the light at a point of a triangle is a blend of.
    struct Blend {
        std::array<std::uint32_t, 3> cell;
        std::array<float, 3> share;
    };

    std::vector<Run> runs;
    /// For every vertex of every mesh of the geometry, its cell.
    std::vector<std::vector<std::uint32_t>> cell_of;
    /// Of every cell the vertex farthest from the one that stands for it.
    SurfacePoints far;

    // Finer cells (refine_irradiance_cache.h) follow all others.

    /// For every vertex the cell that tells of the lamps there: its own where it has one.
    std::vector<std::vector<std::uint32_t>> fine_cell_of;
    /// For every triangle of every mesh the first of its own cells, or `none`: one at every point
    /// that divides its sides into so many steps.
    std::vector<std::vector<std::uint32_t>> first_of_triangle;
    static constexpr int steps_of_side = 4;
    static constexpr std::uint32_t cells_of_triangle =
        (steps_of_side + 1) * (steps_of_side + 2) / 2;
    /// What all light but that straight from a lamp is a blend of, for each of the finer cells.
    std::vector<Blend> blend_of_fine;

    /// Those that share light among vertices.
    std::size_t coarse_cells() const { return position_m.size() - blend_of_fine.size(); }

    /// What the lamps' light at a point is a blend of; `u` and `v` are the weights of the
    /// triangle's second and third corner.
    Blend at(std::uint32_t mesh, std::uint32_t triangle,
             const std::array<std::uint32_t, 3>& corners, float u, float v) const;

    /// The same by coarse cells.
    Blend coarse_at(std::uint32_t mesh, const std::array<std::uint32_t, 3>& corners, float u,
                    float v) const {
        const std::vector<std::uint32_t>& of = cell_of[mesh];
        return {{of[corners[0]], of[corners[1]], of[corners[2]]}, {1.0f - u - v, u, v}};
    }

    /// Mean over a triangle of what there is by cell.
    float mean(std::uint32_t mesh, std::uint32_t triangle,
               const std::array<std::uint32_t, 3>& corners, const std::vector<float>& values) const;
};

/// Light that falls on every cell: lux of the sky or lux seconds of a lamp, linear Rec. 709,
/// counted on the side that the normal shows.
using CachedIrradiance = std::vector<glm::vec3>;

/// Cells 25 cm wide near the lens, growing with distance from it: 2.5 to 5 % of that.
IrradianceCache irradiance_cache(const Geometry& geometry, const glm::vec3& lens_m);

}  // namespace lampflight
