#include "renderer/surface_light/direct_light.h"

#include <cmath>
#include <limits>

#include "renderer/sampling/directions.h"
#include "renderer/sampling/low_discrepancy.h"

namespace lampflight {
namespace {

/// Places on the disc: in radii, the second upwards.
class Frame {
public:
    explicit Frame(const SunMoonDisc& disc) : middle_(disc.direction) {
        const glm::vec3 zenith = glm::vec3(0.0f, 0.0f, 1.0f) - middle_.z * middle_;
        const float level = glm::length(zenith);
        const glm::vec3 up = level > 1e-4f ? zenith / level : across(middle_).tangent;
        const float radius = std::tan(disc.radius_rad);
        right_ = radius * glm::cross(middle_, up);
        up_ = radius * disc.flattening * up;
    }

    glm::vec3 towards(const glm::vec2& place) const {
        return middle_ + place.x * right_ + place.y * up_;
    }

private:
    glm::vec3 middle_, right_, up_;
};

/// One ray a point, towards a place on the disc; lanes that face away from it, and those that would
/// look below the horizon, stay inactive.
RayPacket rays_to_disc(const SunMoonDisc& disc, const SurfacePacket& points,
                       const glm::vec2& place) {
    const Frame frame(disc);
    RayPacket rays;
    rays.active = 0;
    rays.reach.lane.fill(std::numeric_limits<float>::infinity());
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(points.found, i)) continue;
        const glm::vec3 direction =
            frame.towards(on_disc(plane_place(dither_rank[static_cast<std::size_t>(i)], place)));
        if (direction.z <= 0.0f || points.faces_away(i, direction) ||
            glm::dot(direction, points.normal.at(i)) <= 0.0f)
            continue;
        rays.origin_m.set(i, points.leaving_m(i));
        rays.direction.set(i, direction);
        rays.active |= 1u << i;
    }
    return rays;
}

}  // namespace

std::array<glm::vec3, packet_size> direct_lx(const Geometry& geometry, const SunMoonDisc& disc,
                                             const SurfacePacket& points,
                                             const GatherPattern& pattern) {
    std::array<glm::vec3, packet_size> seen;  // sum of the directions in which the disc is in view
    std::array<int, packet_size> count{};     // and how many they are
    seen.fill(glm::vec3(0.0f));
    const glm::vec2 shift =
        plane_place(packet_size * pattern.packet,
                    {hashed_place(pattern.seed, 3), hashed_place(pattern.seed, 4)});
    for (int k = 0; k < pattern.count; ++k) {
        const glm::vec2 place{
            fraction(shift.x + (static_cast<float>(k) + 0.5f) / static_cast<float>(pattern.count)),
            golden_place(static_cast<std::uint32_t>(k), shift.y)};
        const RayPacket rays = rays_to_disc(disc, points, place);
        if (rays.active == 0) continue;
        const LaneMask in_view = rays.active & ~geometry.rays().occluded(rays);
        for (int i = 0; i < packet_size; ++i)
            if (has_lane(in_view, i)) {
                seen[static_cast<std::size_t>(i)] += rays.direction.at(i);
                ++count[static_cast<std::size_t>(i)];
            }
    }
    std::array<glm::vec3, packet_size> light_lx;
    for (int i = 0; i < packet_size; ++i) {
        const auto lane = static_cast<std::size_t>(i);
        // In the open the disc's middle stands for all of it, without noise.
        const float middle = glm::dot(disc.direction, points.normal.at(i));
        float cosine = 0.0f;
        if (count[lane] == pattern.count && middle > 0.0f)
            cosine = middle;
        else if (count[lane] > 0)
            cosine = glm::dot(seen[lane], points.normal.at(i)) / static_cast<float>(pattern.count);
        light_lx[lane] = cosine * disc.normal_lx;
    }
    return light_lx;
}

}  // namespace lampflight
