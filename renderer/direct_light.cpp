#include "renderer/direct_light.h"

#include <cmath>
#include <limits>

#include "renderer/directions.h"
#include "renderer/low_discrepancy.h"

namespace lampflight {
namespace {

/// One ray a point, towards a place on the disc; lanes that face away from it stay inactive.
RayPacket rays_to_disc(const DirectLight& disc, const SurfacePacket& points,
                       const glm::vec2& place) {
    const Across frame = across(disc.direction);
    const float radius = std::tan(disc.radius_rad);
    RayPacket rays;
    rays.active = 0;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(points.found, i)) continue;
        const glm::vec2 on_face =
            radius * on_disc(plane_place(dither_rank[static_cast<std::size_t>(i)], place));
        const glm::vec3 direction =
            disc.direction + on_face.x * frame.tangent + on_face.y * frame.bitangent;
        const glm::vec3 face = points.face_normal.at(i);
        if (glm::dot(direction, face) <= 0.0f ||
            glm::dot(disc.direction, points.normal.at(i)) <= 0.0f)
            continue;
        const glm::vec3 position_m = points.position_m.at(i);
        rays.origin_m.set(i, position_m + clearance_m(position_m) * face);
        rays.direction.set(i, direction);
        rays.active |= 1u << i;
    }
    return rays;
}

}  // namespace

std::array<glm::vec3, packet_size> direct_lx(const Stage& stage, const DirectLight& disc,
                                             const SurfacePacket& points,
                                             const GatherPattern& pattern) {
    std::array<int, packet_size> seen{};
    const glm::vec2 shift =
        plane_place(packet_size * pattern.packet,
                    {hashed_place(pattern.seed, 3), hashed_place(pattern.seed, 4)});
    for (int k = 0; k < pattern.count; ++k) {
        const glm::vec2 place{
            fraction(shift.x + (static_cast<float>(k) + 0.5f) / static_cast<float>(pattern.count)),
            golden_place(static_cast<std::uint32_t>(k), shift.y)};
        const RayPacket rays = rays_to_disc(disc, points, place);
        if (rays.active == 0) continue;
        const LaneMask in_view = rays.active & ~stage.rays().occluded(rays);
        for (std::size_t i = 0; i < packet_size; ++i)
            seen[i] += static_cast<int>(in_view >> i & 1u);
    }
    std::array<glm::vec3, packet_size> light_lx;
    for (int i = 0; i < packet_size; ++i) {
        const auto lane = static_cast<std::size_t>(i);
        const float share = static_cast<float>(seen[lane]) / static_cast<float>(pattern.count);
        light_lx[lane] =
            seen[lane] > 0 ? share * glm::dot(disc.direction, points.normal.at(i)) * disc.normal_lx
                           : glm::vec3(0.0f);
    }
    return light_lx;
}

}  // namespace lampflight
