// SIMD lanes: sixteen values side by side: what a packet of rays carries.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include <glm/glm.hpp>

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
constexpr bool has_lane(LaneMask mask, int i) {
    return (mask >> i & 1u) != 0u;
}

struct LaneVectors {
    Lanes x, y, z;
    glm::vec3 at(int i) const { return {x[i], y[i], z[i]}; }
    void set(int i, const glm::vec3& v) { x[i] = v.x, y[i] = v.y, z[i] = v.z; }
};

}  // namespace lampflight
