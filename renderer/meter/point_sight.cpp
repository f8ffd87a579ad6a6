#include "renderer/meter/point_sight.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

#include "renderer/geometry/geometry.h"

namespace lampflight {
namespace {

// A point named on a surface may lie a hand's breadth off it.
constexpr double off_surface_m = 0.25;

// Half of a right angle's sine: seen flatter, a surface runs along the line of sight.
constexpr double flat_sine = 0.5;

RayPacket ray_of(const Vec3& from_m, const Vec3& direction) {
    RayPacket ray{};
    ray.active = 1;
    ray.reach.lane.fill(std::numeric_limits<float>::infinity());
    ray.origin_m.set(0, glm::vec3(from_m));
    ray.direction.set(0, glm::vec3(direction));
    return ray;
}

/// Whether a mesh lies within a hand's breadth of the way between two places, across it along a
/// unit vector, all the way.
bool keeps_by(const Geometry& geometry, std::uint32_t mesh, const Vec3& from_m, const Vec3& to_m,
              const Vec3& across) {
    RayPacket rays{};
    rays.active = all_lanes;
    rays.reach.lane.fill(static_cast<float>(2.0 * off_surface_m));
    for (int i = 0; i < packet_size; ++i) {
        const Vec3 place_m = glm::mix(from_m, to_m, (i + 0.5) / packet_size);
        rays.origin_m.set(i, glm::vec3(place_m + off_surface_m * across));
        rays.direction.set(i, glm::vec3(-across));
    }
    const HitPacket hits = geometry.rays().closest(rays);
    return hits.hit == all_lanes &&
           std::ranges::all_of(hits.mesh, [&](std::uint32_t met) { return met == mesh; });
}

}  // namespace

PointSight point_sight(const Shoot& shoot, const Geometry& geometry, const Vec3& lens_m,
                       const Vec3& point_m) {
    const double distance_m = glm::distance(lens_m, point_m);
    const Vec3 towards = (point_m - lens_m) / distance_m;
    const RayPacket ray = ray_of(lens_m, towards);
    const HitPacket hits = geometry.rays().closest(ray);
    if (hits.hit == 0) return {PointSight::Meets::sky, "sky", 0.0};

    const auto met_at_m = static_cast<double>(hits.distance[0]);
    const std::uint32_t mesh = hits.mesh[0];
    PointSight sight{PointSight::Meets::itself,
                     mesh == 0 ? "ground" : shoot.subjects[mesh - 1].name, met_at_m - distance_m};
    const Vec3 face(geometry.surfaces(ray, hits, 1.0f).face_normal.at(0));
    const double sine = std::abs(glm::dot(face, towards));
    const double apart_m = std::abs(sight.behind_m);
    if (apart_m <= off_surface_m || (sine >= flat_sine && sine * apart_m <= off_surface_m))
        return sight;
    const Vec3 met_m = lens_m + met_at_m * towards;
    for (const Vec3& across : {face, Vec3(0.0, 0.0, 1.0)})
        if (std::abs(glm::dot(across, towards)) < flat_sine &&
            keeps_by(geometry, mesh, point_m, met_m, across))
            return sight;
    sight.meets = sight.behind_m < 0.0 ? PointSight::Meets::nearer : PointSight::Meets::farther;
    return sight;
}

}  // namespace lampflight
