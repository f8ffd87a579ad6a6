// Ray query: where a ray meets a surface. The only file pair that knows Embree. Rays go in packets
// of 16 that should start near each other and point alike: such packets cost a quarter of single
// rays.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "renderer/sampling/lanes.h"
#include "scene/subjects/mesh.h"

namespace lampflight {

/// Directions need no unit length: `reach` and distances count in lengths of the direction.
struct RayPacket {
    LaneVectors origin_m;
    LaneVectors direction;
    Lanes reach;
    LaneMask active = 0;
};

struct HitPacket {
    Lanes distance;
    Lanes u, v;  ///< barycentric weights of the triangle's second and third corner
    LaneVectors face;  ///< across the triangle, twice its area long
    std::array<std::uint32_t, packet_size> mesh;
    std::array<std::uint32_t, packet_size> triangle;
    LaneMask hit = 0;
};

/// A set of meshes to ask. Threads may ask at the same time, but not while `show` runs.
class RayQuery {
public:
    /// Copies what it needs of the meshes; a null one is not there. Throws std::runtime_error when
    /// memory runs out.
    explicit RayQuery(const std::vector<const Mesh*>& meshes);
    ~RayQuery();
    RayQuery(RayQuery&&) noexcept;
    RayQuery& operator=(RayQuery&&) noexcept;

    /// Hides the meshes that are null now and shows the others, at their places in the list. What
    /// was built for a mesh once is kept, so no place may ever hold two different ones. Throws as
    /// above.
    void show(const std::vector<const Mesh*>& meshes);

    /// Nearest surface of each active ray.
    HitPacket closest(const RayPacket& rays) const;

    /// The active rays that meet any surface within their reach.
    LaneMask occluded(const RayPacket& rays) const;

private:
    struct Scene;
    std::unique_ptr<Scene> scene_;
};

}  // namespace lampflight
