// The ground: level at height zero, flat or rough, out to the horizon.
#pragma once

#include <optional>
#include <vector>

#include "scene/basics/vector.h"
#include "scene/camera/view_frustum.h"
#include "scene/subjects/mesh.h"

namespace lampflight {

enum class GroundKind { flat, rough };

struct Ground {
    GroundKind kind = GroundKind::rough;
    Rgb reflectance{0.30, 0.26, 0.21};
    /// rms height of the soil's relief (rough), in broad swells for the most part. Stones go with
    /// it, see `add_scree`: none at 0, most at 0.05, then fewer and up to 25 % larger.
    double roughness_m = 0.05;
    double far_hills_m = 0.0;  ///< height of hills on the horizon, a few kilometres off (rough)
    int seed = 1;
};

/// Ground as it is laid out about a place.
struct Terrain {
    Ground ground;
    Vec2 middle_m{0.0, 0.0};  ///< where it is finest; best between the camera and what it looks at
    /// Where someone stands: the relief is trodden level about these places and bears no stones
    /// (rough), so that feet neither hover nor sink.
    std::vector<Vec2> trodden_m{};
};

/// Mesh of the ground, finest about the middle (6 to 9 cm up to 6 m off, 25 cm at 16 m) and coarser
/// outwards, to 20 km, with finer rings again where hills rise. Rough ground has stones within 35 m
/// of the middle; their vertices and triangles come after all of the soil's. With a view, what it
/// can't show is thinned: beyond 6 m from the middle seven vertices of eight are left out of each
/// ring, and stones are, but for a margin whose shadows and light may reach the picture. All that
/// is left keeps its place.
Mesh ground_mesh(const Terrain& terrain, const std::optional<ViewFrustum>& view = std::nullopt);

/// Height of the ground in metres at a place: the surface that `ground_mesh` samples, without the
/// relief that the mesh is too coarse for there and without stones. Its mean is zero, so what
/// stands on rough ground is best set down at this height.
double ground_height_m(const Terrain& terrain, const Vec2& place_m);

}  // namespace lampflight
