// Scene geometry: ground and the subjects present, with what a ray finds on them.
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "renderer/geometry/ray_query.h"
#include "scene/shoot/placed_shoot.h"

namespace lampflight {

/// Surface points of a packet. Normals look towards the ray that found them.
struct SurfacePacket {
    LaneVectors position_m;
    LaneVectors normal;       ///< with the surface's relief: for cosines
    LaneVectors face_normal;  ///< of the triangle: its side of it is what is seen
    /// From there outwards to the smooth surface that the corners' normals tell of, from which
    /// light is looked for; null where it is as near as a ray's first step, or hidden by another
    /// surface.
    LaneVectors bulge_m;
    LaneVectors reflectance;  ///< linear Rec. 709
    std::array<std::uint32_t, packet_size> mesh{};
    std::array<std::uint32_t, packet_size> triangle{};
    LaneMask found = 0;

    /// Where rays that look for light start.
    glm::vec3 leaving_m(int lane) const;

    /// Whether a ray in that direction starts into the surface itself. From above a triangle it may
    /// go below it, to what the smooth surface sees there.
    bool faces_away(int lane, const glm::vec3& direction) const {
        return glm::dot(direction, face_normal.at(lane)) <= 0.0f &&
               bulge_m.at(lane) == glm::vec3(0.0f);
    }
};

/// How far to step off a surface before a ray starts, in metres: enough to clear the rounding of a
/// coordinate that far from the origin, too little to leak where surfaces touch.
inline float ray_offset_m(const glm::vec3& position_m) {
    return 2e-4f + 1e-6f * (std::abs(position_m.x) + std::abs(position_m.y));
}

inline glm::vec3 SurfacePacket::leaving_m(int lane) const {
    const glm::vec3 here_m = position_m.at(lane);
    return here_m + ray_offset_m(here_m) * face_normal.at(lane) + bulge_m.at(lane);
}

class Geometry {
public:
    /// Of the shoot's ground and of the subjects at these places in its list, whose meshes it
    /// refers to.
    Geometry(const PlacedShoot& shoot, const std::vector<std::size_t>& present);

    /// These meshes and no ground. Refers to them.
    explicit Geometry(std::vector<const Mesh*> meshes);

    /// Clears the geometry of subjects and lets these come on. The ground stays, and whoever was on
    /// before need not be copied again. Not for a geometry without ground.
    void set_subjects(const std::vector<std::size_t>& present);

    const RayQuery& rays() const { return *rays_; }

    /// By their numbers in hits; absent subjects' are empty.
    const std::vector<const Mesh*>& meshes() const { return meshes_; }

    /// What the rays hit. `spread` is the side of the patch that a ray stands for, per unit of its
    /// distance: relief and tint finer than that are averaged away.
    SurfacePacket surfaces(const RayPacket& rays, const HitPacket& hits, float spread) const;

private:
    void drop_hidden_bulges(SurfacePacket& found) const;

    Mesh ground_;
    std::span<const Mesh> subjects_;   ///< all that there are
    std::vector<const Mesh*> meshes_;  ///< the ground first
    std::unique_ptr<RayQuery> rays_;
};

}  // namespace lampflight
