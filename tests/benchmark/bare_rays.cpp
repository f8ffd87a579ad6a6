#include "tests/benchmark/bare_rays.h"

#include <algorithm>
#include <limits>

#include "tests/benchmark/point_light.h"

namespace lampflight::bench {
namespace {

constexpr std::size_t most_packets = 150000;
constexpr int strata = 48;

template <class Packet>
void set_ray(Packet& packet, int i, const glm::vec3& origin_m, const glm::vec3& direction,
             float reach) {
    packet.org_x[i] = origin_m.x;
    packet.org_y[i] = origin_m.y;
    packet.org_z[i] = origin_m.z;
    packet.dir_x[i] = direction.x;
    packet.dir_y[i] = direction.y;
    packet.dir_z[i] = direction.z;
    packet.tnear[i] = 0.0f;
    packet.tfar[i] = reach;
    packet.time[i] = 0.0f;
    packet.mask[i] = ~0u;
    packet.id[i] = 0;
    packet.flags[i] = 0;
}

}  // namespace

std::vector<RTCRayHit8> lens_packets(const Camera& camera) {
    const Projection projection(camera);
    const glm::vec3 lens_m(projection.position_m());
    std::vector<RTCRayHit8> packets;
    for (int y = 0; y + 1 < camera.pixels.y; y += 2)
        for (int x = 0; x + 3 < camera.pixels.x; x += 4) {
            RTCRayHit8& packet = packets.emplace_back();
            for (int i = 0; i < 8; ++i)
                set_ray(packet.ray, i, lens_m,
                        glm::vec3(projection.direction({x + i % 4 + 0.5, y + i / 4 + 0.5})),
                        std::numeric_limits<float>::infinity());
            std::fill_n(packet.hit.geomID, 8, RTC_INVALID_GEOMETRY_ID);
            std::fill_n(packet.hit.instID[0], 8, RTC_INVALID_GEOMETRY_ID);
        }
    return packets;
}

std::vector<RTCRay8> shadow_packets(const SeenFilm& film, const LampTrack& track,
                                    bool own_instants) {
    std::vector<RTCRay8> packets;
    for (const SeenTile& tile : film.tiles)
        for (const BlockSurfaces& block : tile.view.blocks)
            for (const SurfacePacket& points : block) {
                if (points.found != all_lanes || packets.size() + 2 > most_packets) continue;
                const auto stratum = static_cast<float>(packets.size() / 2 % strata);
                for (int half = 0; half < 2; ++half) {
                    RTCRay8& packet = packets.emplace_back();
                    for (int i = 0; i < 8; ++i) {
                        const int lane = 8 * half + i;
                        const float within = own_instants ? dither_place(lane) : 0.5f;
                        const LampInstant lamp =
                            track.at(track.lit_s() * (stratum + within) / strata);
                        const ShadowRay ray =
                            shadow_ray(points.leaving_m(lane), lamp.position_m, glm::vec2(0.0f));
                        set_ray(packet, i, ray.origin_m, ray.direction, shadow_reach);
                    }
                }
            }
    return packets;
}

std::vector<RTCRay> single_rays(const std::vector<RTCRay8>& packets) {
    std::vector<RTCRay> rays;
    rays.reserve(8 * packets.size());
    for (const RTCRay8& packet : packets)
        for (int i = 0; i < 8; ++i) {
            RTCRay& ray = rays.emplace_back();
            ray.org_x = packet.org_x[i];
            ray.org_y = packet.org_y[i];
            ray.org_z = packet.org_z[i];
            ray.dir_x = packet.dir_x[i];
            ray.dir_y = packet.dir_y[i];
            ray.dir_z = packet.dir_z[i];
            ray.tnear = 0.0f;
            ray.tfar = packet.tfar[i];
            ray.time = 0.0f;
            ray.mask = ~0u;
            ray.id = 0;
            ray.flags = 0;
        }
    return rays;
}

}  // namespace lampflight::bench
