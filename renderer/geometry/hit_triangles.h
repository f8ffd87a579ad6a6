// Hit triangles: points and normals of the surfaces that a packet of rays met, from the corners of
// the triangles there.
#pragma once

#include "renderer/geometry/geometry.h"
#include "renderer/geometry/surface_relief.h"

namespace lampflight {

/// The corners of the triangles that were hit, and what they are made of.
struct HitTriangles {
    std::array<LaneVectors, 3> position_m{};
    std::array<LaneVectors, 3> normal{};
    std::array<LaneVectors, 3> bulge_m{};
    std::array<SurfaceRelief, packet_size> relief{};

    void take(int lane, const Mesh& mesh, const std::array<std::uint32_t, 3>& corners) {
        for (std::size_t k = 0; k < 3; ++k) {
            position_m[k].set(lane, mesh.positions[corners[k]]);
            normal[k].set(lane, mesh.normals[corners[k]]);
            if (!mesh.bulges_m.empty()) bulge_m[k].set(lane, mesh.bulges_m[corners[k]]);
        }
    }
};

/// Unit normals of the triangles, on the side that the rays come from.
void set_face_normals(const HitTriangles& triangles, const RayPacket& rays, LaneVectors& face);

/// Blends of the corners' normals, as unit vectors on the side of the face's.
void set_normals(const HitTriangles& triangles, const HitPacket& hits, const LaneVectors& face,
                 LaneVectors& normal);

void set_positions(const HitTriangles& triangles, const HitPacket& hits, LaneVectors& position_m);

/// From points on the triangles to the smooth surface that the corners' normals tell of. A triangle
/// is the chord of a curve: a lamp over the horizon of the curve may stand below the chord, or
/// other chords come before it, and the lit side shows black facets. So a point is lifted onto the
/// tangent planes of those corners that it lies below, by their weights (Hanika, "Hacking the
/// Shadow Terminator", Ray Tracing Gems II, 2021). That leaves flat and hollow surfaces as they
/// are.
void set_bulges(const HitTriangles& triangles, const HitPacket& hits, SurfacePacket& found);

}  // namespace lampflight
