#include "tests/reference/path_packets.h"

#include <cmath>

#include "scene/basics/angle.h"
#include "tests/reference/lens_gain.h"

namespace lampflight {
namespace {

constexpr int row_px = 8;
constexpr float far_m = 1e9f;
constexpr float short_of_end = 0.9999f;
constexpr float no_detail = 1e9f;  // as if each ray stood for a wide patch

RayPacket no_rays(float reach) {
    RayPacket rays{};
    rays.reach.lane.fill(reach);
    return rays;
}

void set_ray(RayPacket& rays, int lane, const Vec3& from_m, const Vec3& direction) {
    rays.origin_m.set(lane, glm::vec3(from_m));
    rays.direction.set(lane, glm::vec3(direction));
    rays.active |= 1u << lane;
}

Vec2 pixel_of(const glm::ivec2& corner_px, int lane) {
    return Vec2(corner_px + glm::ivec2(lane % row_px, lane / row_px));
}

}  // namespace

PathPackets::PathPackets(const PlacedShoot& shoot, const Take& take, const LitLamp& lit,
                         const Geometry& geometry, std::size_t bounces)
    : shoot_(shoot),
      take_(take),
      lamp_(shoot, lit),
      geometry_(geometry),
      projection_(shoot.camera),
      bounces_(bounces),
      spread_(static_cast<float>(pixel_pitch_mm(shoot.camera).x / shoot.camera.focal_mm)) {}

PacketLight PathPackets::trace(const glm::ivec2& corner_px, const ShiftedPoints& points,
                               std::size_t first) const {
    PacketLight light;
    Vertices receivers;
    const LaneMask found = see(corner_px, {points, first, 0}, receivers);
    if (found == 0) return light;
    add_direct(receivers, found, {points, first, 2}, light.direct);
    add_bounced(receivers, found, {points, first, 4}, light.bounced);
    for (int i = 0; i < packet_size; ++i) {
        const double gain = lamp_.weighted_s() / pi *
                            lens_gain(shoot_, take_, projection_, pixel_of(corner_px, i) + 0.5);
        light.direct[static_cast<std::size_t>(i)] *= gain;
        light.bounced[static_cast<std::size_t>(i)] *= gain;
    }
    return light;
}

/// The surfaces that the lens sees, anywhere within each pixel.
LaneMask PathPackets::see(const glm::ivec2& corner_px, const Draw& draw,
                          Vertices& receivers) const {
    RayPacket rays = no_rays(far_m);
    for (int i = 0; i < packet_size; ++i)
        set_ray(rays, i, shoot_.camera.position_m,
                projection_.direction(pixel_of(corner_px, i) + draw.pair(i)));
    return arrive(rays, spread_, receivers);
}

void PathPackets::add_direct(const Vertices& receivers, LaneMask found, const Draw& draw,
                             Sums& sum) const {
    RayPacket shadow = no_rays(short_of_end);
    Sums value{};
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(found, i)) continue;
        const PathVertex& receiver = receivers[static_cast<std::size_t>(i)];
        const PathVertex* const path[] = {&receiver};
        const double share = luminance(share_of_path(lamp_, path) * receiver.reflectance);
        if (share <= 0.0) continue;
        value[static_cast<std::size_t>(i)] = share;
        const Vec3 from_m = off_surface(receiver);
        set_ray(shadow, i, from_m, lamp_.on_face(from_m, draw.pair(i)) - from_m);
    }
    add_unshadowed(shadow, value, sum);
}

void PathPackets::add_bounced(const Vertices& receivers, LaneMask found, Draw draw,
                              Sums& sum) const {
    Subpaths from_lamp, from_lens;  // the lamp's first vertex is the lamp, the lens's the receiver
    from_lamp.found[0] = from_lens.found[0] = found;
    from_lens.vertices[0] = receivers;
    from_lamp.found[1] = leave_lamp(found, draw, from_lamp.vertices[1]);
    for (Subpaths* const subpaths : {&from_lens, &from_lamp})
        for (std::size_t k = subpaths == &from_lamp ? 2 : 1; k <= bounces_; ++k) {
            draw.dimension += 2;
            subpaths->found[k] = go_on(subpaths->vertices[k - 1], subpaths->found[k - 1], draw,
                                       subpaths->vertices[k]);
        }
    for (std::size_t bounces = 1; bounces <= bounces_; ++bounces)
        for (std::size_t by_lamp = 0; by_lamp <= bounces; ++by_lamp)
            join(from_lamp, by_lamp, from_lens, bounces - by_lamp, sum);
}

/// Adds paths that take so many bounces from the lamp's subpath and so many from the lens's.
void PathPackets::join(const Subpaths& from_lamp, std::size_t by_lamp, const Subpaths& from_lens,
                       std::size_t by_lens, Sums& sum) const {
    RayPacket shadow = no_rays(short_of_end);
    Sums value{};
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(from_lamp.found[by_lamp] & from_lens.found[by_lens], i)) continue;
        const auto lane = static_cast<std::size_t>(i);
        std::array<const PathVertex*, most_bounces_of_path + 1> path{};
        std::size_t length = 0;
        for (std::size_t k = 1; k <= by_lamp; ++k) path[length++] = &from_lamp.vertices[k][lane];
        for (std::size_t k = by_lens + 1; k > 0; --k)
            path[length++] = &from_lens.vertices[k - 1][lane];
        const double share =
            luminance(share_of_path(lamp_, {path.data(), length}) * path[length - 1]->reflectance);
        if (share <= 0.0) continue;
        value[lane] = share;
        const Vec3 from_m = off_surface(*path[by_lamp]);
        const Vec3 to_m = by_lamp > 0 ? off_surface(*path[by_lamp - 1]) : lamp_.position_m();
        set_ray(shadow, i, from_m, to_m - from_m);
    }
    add_unshadowed(shadow, value, sum);
}

void PathPackets::add_unshadowed(const RayPacket& shadow, const Sums& value, Sums& sum) const {
    if (shadow.active == 0) return;
    const LaneMask lit = shadow.active & ~geometry_.rays().occluded(shadow);
    for (int i = 0; i < packet_size; ++i)
        if (has_lane(lit, i))
            sum[static_cast<std::size_t>(i)] += value[static_cast<std::size_t>(i)];
}

LaneMask PathPackets::leave_lamp(LaneMask lanes, const Draw& draw, Vertices& next) const {
    RayPacket rays = no_rays(far_m);
    for (int i = 0; i < packet_size; ++i)
        if (has_lane(lanes, i)) set_ray(rays, i, lamp_.position_m(), lamp_.direction(draw.pair(i)));
    return arrive(rays, no_detail, next);
}

LaneMask PathPackets::go_on(const Vertices& from, LaneMask found, const Draw& draw,
                            Vertices& next) const {
    RayPacket rays = no_rays(far_m);
    for (int i = 0; i < packet_size; ++i) {
        if (!has_lane(found, i)) continue;
        const PathVertex& vertex = from[static_cast<std::size_t>(i)];
        const Vec3 direction = diffuse_direction(vertex.normal, draw.pair(i));
        if (glm::dot(direction, vertex.face_normal) > 0.0)
            set_ray(rays, i, off_surface(vertex), direction);
    }
    return arrive(rays, no_detail, next);
}

LaneMask PathPackets::arrive(const RayPacket& rays, float spread, Vertices& vertices) const {
    if (rays.active == 0) return 0;
    const SurfacePacket surfaces = geometry_.surfaces(rays, geometry_.rays().closest(rays), spread);
    for (int i = 0; i < packet_size; ++i)
        if (has_lane(surfaces.found, i))
            vertices[static_cast<std::size_t>(i)] = vertex_of(surfaces, i);
    return surfaces.found;
}

}  // namespace lampflight
