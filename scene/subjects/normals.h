// Normals of a mesh: smooth over its edges, but for those that are meant to be sharp.
#pragma once

#include "scene/subjects/mesh.h"

namespace lampflight {

/// The direction of a vector; up where it has none.
glm::vec3 unit_or_up(const glm::vec3& v);

/// Fills `normals` with means of the adjoining faces weighted by angle.
void smooth_normals(Mesh& mesh);

/// Which edges are smooth.
struct Smoothing {
    /// Edges at which the surface turns by more are sharp.
    double crease_rad = 0.0;
    /// By triangle; where they are stated they alone count: an edge is smooth within a group. 0 is
    /// no group, and flat. Empty where the crease angle decides.
    std::vector<std::uint32_t> groups;
};

/// Normals that corners of triangles have by name.
struct StatedNormals {
    static constexpr std::int32_t none = -1;
    std::vector<glm::vec3> unit;
    std::vector<std::array<std::int32_t, 3>> of_corner;  ///< by triangle; empty for none at all
};

/// Gives a mesh whose vertices are joined wherever they share a place its normals: the stated ones,
/// elsewhere means, weighted by angle, of the faces that smooth edges join about a vertex. Faces
/// that run the shared edge the same way, one of them inside out, are never joined. A vertex with
/// several normals becomes as many, in one place; unused vertices go. Faces need an area.
void crease_normals(Mesh& mesh, const Smoothing& smoothing, const StatedNormals& stated = {});

}  // namespace lampflight
