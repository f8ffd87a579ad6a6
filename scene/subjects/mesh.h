// Triangle meshes: what stands in the scene, in metres, with diffuse reflectances.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "scene/basics/vector.h"

namespace lampflight {

/// As far as a vertex may lie: beyond, a float no longer holds a hand's breadth.
constexpr double farthest_vertex_m = 1e6;

/// How a surface breaks up close: fine relief and tint that the mesh does not hold.
enum class SurfaceRelief { none, soil, stone, cloth };

struct Material {
    Rgb reflectance{0.35};
    SurfaceRelief relief = SurfaceRelief::none;
};

struct Mesh {
    std::vector<glm::vec3> positions;  ///< metres
    std::vector<glm::vec3> normals;    ///< unit; one a position
    /// From each position to the smooth surface that the normals tell of, where splitting made it
    /// in the middle of a flat face; empty where all lie on that surface. Metres.
    std::vector<glm::vec3> bulges_m;
    std::vector<std::array<std::uint32_t, 3>> triangles;  ///< anticlockwise seen from outside
    std::vector<std::uint16_t> material_of;               ///< one a triangle
    std::vector<Material> materials;
};

/// Across a triangle, outwards, twice its area long.
inline glm::vec3 across_triangle(const Mesh& mesh, const std::array<std::uint32_t, 3>& corners) {
    const glm::vec3 a = mesh.positions[corners[0]];
    return glm::cross(mesh.positions[corners[1]] - a, mesh.positions[corners[2]] - a);
}

/// Splits triangles until no edge is longer than `longest_m`; neighbours stay joined. Light that
/// bounces is kept at the vertices, so they must not lie far apart. The longest go first; stops
/// before the mesh would hold more than `most_triangles` and returns whether it got to the end.
bool split_long_edges(Mesh& mesh, double longest_m,
                      std::size_t most_triangles = std::numeric_limits<std::size_t>::max());

/// Scales every material so that the mean luminance of the reflectance over the mesh's area is the
/// one wished for; components are kept to at most 1. A black mesh turns grey.
void set_mean_reflectance(Mesh& mesh, double reflectance);

/// Turns about the vertical so that the model's front (-y) looks along the bearing, then scales
/// and moves it.
void place(Mesh& mesh, double facing_deg, double scale, const Vec3& position_m);

}  // namespace lampflight
