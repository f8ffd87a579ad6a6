// Where a ray meets a surface. The only file pair that knows Embree. Rays go in packets of 16 that
// should start near each other and point alike: such packets cost a quarter of single rays.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "scene/mesh.h"

namespace lampflight {

constexpr int packet_size = 16;

/// One number for each ray of a packet.
struct alignas(64) Lanes {
    std::array<float, packet_size> lane;
    float& operator[](int i) { return lane[static_cast<std::size_t>(i)]; }
    float operator[](int i) const { return lane[static_cast<std::size_t>(i)]; }
};

/// One bit for each ray of a packet.
using LaneMask = std::uint32_t;

constexpr LaneMask all_lanes = 0xffffu;
constexpr bool has_lane(LaneMask mask, int i) { return (mask >> i & 1u) != 0u; }

struct LaneVectors {
    Lanes x, y, z;
    glm::vec3 at(int i) const { return {x[i], y[i], z[i]}; }
    void set(int i, const glm::vec3& v) { x[i] = v.x, y[i] = v.y, z[i] = v.z; }
};

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
    std::array<std::uint32_t, packet_size> mesh;
    std::array<std::uint32_t, packet_size> triangle;
    LaneMask hit = 0;
};

/// A fixed set of meshes to ask; immutable, so threads may share it.
class RayQuery {
public:
    /// Copies what it needs of the meshes. Throws std::runtime_error when memory runs out.
    explicit RayQuery(const std::vector<const Mesh*>& meshes);
    ~RayQuery();
    RayQuery(RayQuery&&) noexcept;
    RayQuery& operator=(RayQuery&&) noexcept;

    /// Nearest surface of each active ray.
    HitPacket closest(const RayPacket& rays) const;

    /// The active rays that meet any surface within their reach.
    LaneMask occluded(const RayPacket& rays) const;

private:
    struct Scene;
    std::unique_ptr<Scene> scene_;
};

}  // namespace lampflight
