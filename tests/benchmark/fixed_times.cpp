// Fixed times: the lamp stands still at n even instants, and every pixel adds them up.
#include <bit>
#include <map>
#include <span>
#include <utility>

#include "tests/benchmark/methods.h"
#include "tests/benchmark/point_light.h"

namespace lampflight::bench {
namespace {

/// The even times of a pixel, by how many film samples it has.
class TimesOfPixel {
public:
    TimesOfPixel(const LampTrack& track, int times, float phase) : burning_s_(track.lit_s()) {
        const Effort effort = effort_of(Quality::good);
        for (const int samples : {effort.plain_samples, effort.film_samples}) {
            const auto count = static_cast<std::size_t>(samples);
            instants_[count] =
                fixed_times(track, static_cast<int>(count * times_each(times, count)), phase);
        }
    }

    const std::vector<FixedTime>& of(std::size_t film_samples) const {
        return instants_.at(film_samples);
    }

    /// Seconds that each instant of a film sample stands for.
    float each_s(std::size_t film_samples) const {
        return burning_s_ * static_cast<float>(film_samples) /
               static_cast<float>(of(film_samples).size());
    }

private:
    float burning_s_;
    std::map<std::size_t, std::vector<FixedTime>> instants_;
};

/// Aims the packet at one instant of the lamp; lanes that would get light are active.
void aim_packet(const LampTrack& track, const FixedTime& time, const SurfacePacket& points,
                LampInstants& lamp, Lanes& light, RayPacket& shadow) {
    for (int i = 0; i < packet_size; ++i) {
        lamp.position_m.set(i, time.lamp.position_m);
        lamp.aim.set(i, time.lamp.aim);
    }
    light_lx(track, lamp, points, light);
    shadow.active = 0;
    for (int i = 0; i < packet_size; ++i)
        if (light[i] > 0.0f) shadow.active |= 1u << i;
    shadow.active &= points.found;
    if (shadow.active == 0) return;
    for (int i = 0; i < packet_size; ++i) {
        const ShadowRay ray = shadow_ray(points.leaving_m(i), time.lamp.position_m, time.on_face_m);
        shadow.origin_m.set(i, ray.origin_m);
        shadow.direction.set(i, ray.direction);
    }
}

/// Lights a tile by what `sum_of(points, instants, samples)` finds at every `samples`th instant of
/// a film sample's, in lux.
template <class SumOf>
void light_tile(const LampTrack& track, const TimesOfPixel& times, const SeenTile& tile,
                TileLight& tile_light, SumOf sum_of) {
    tile_light.fill(glm::vec3(0.0f));
    for (std::size_t b = 0; b < tile_blocks; ++b)
        for_each_sample(tile.view, b,
                        [&](const SurfacePacket& points, std::size_t sample, std::size_t samples) {
                            Lanes sum_lx = sum_of(
                                points, std::span(times.of(samples)).subspan(sample), samples);
                            const float weight_s = times.each_s(samples);
                            for (float& lane : sum_lx.lane) lane *= weight_s;
                            add_reflected(track, b, points, sum_lx, tile.view, tile_light);
                        });
}

}  // namespace

TileMethod fixed_times_one_by_one(const LampTrack& track, const EmbreeRays& rays, int times) {
    return [&track, &rays, all_times = TimesOfPixel(track, times, 0.5f)](const SeenTile& tile,
                                                                         TileLight& tile_light) {
        std::uint64_t asked = 0;
        light_tile(track, all_times, tile, tile_light,
                   [&](const SurfacePacket& points, std::span<const FixedTime> instants,
                       std::size_t samples) {
                       Lanes sum_lx{};
                       for (int i = 0; i < packet_size; ++i) {
                           if (!has_lane(points.found, i)) continue;
                           const glm::vec3 position_m = points.position_m.at(i);
                           const glm::vec3 normal = points.normal.at(i);
                           const glm::vec3 leaving_m = points.leaving_m(i);
                           for (std::size_t k = 0; k < instants.size(); k += samples) {
                               const LampInstant& lamp = instants[k].lamp;
                               const float light = light_lx(track, lamp, position_m, normal);
                               if (light <= 0.0f) continue;
                               ++asked;
                               if (!rays.occluded(shadow_ray(leaving_m, lamp.position_m,
                                                             instants[k].on_face_m)))
                                   sum_lx[i] += light;
                           }
                       }
                       return sum_lx;
                   });
        return asked;
    };
}

TileMethod fixed_times_in_packets(const LampTrack& track, const RayQuery& rays, int times,
                                  float phase) {
    return [&track, &rays, all_times = TimesOfPixel(track, times, phase)](const SeenTile& tile,
                                                                          TileLight& tile_light) {
        std::uint64_t asked = 0;
        RayPacket shadow;
        shadow.reach.lane.fill(shadow_reach);
        LampInstants lamp;
        Lanes light;
        light_tile(track, all_times, tile, tile_light,
                   [&](const SurfacePacket& points, std::span<const FixedTime> instants,
                       std::size_t samples) {
                       Lanes sum_lx{};
                       for (std::size_t k = 0; k < instants.size(); k += samples) {
                           aim_packet(track, instants[k], points, lamp, light, shadow);
                           if (shadow.active == 0) continue;
                           asked += static_cast<std::uint64_t>(std::popcount(shadow.active));
                           const LaneMask lit = shadow.active & ~rays.occluded(shadow);
                           for (int i = 0; i < packet_size; ++i)
                               if (has_lane(lit, i)) sum_lx[i] += light[i];
                       }
                       return sum_lx;
                   });
        return asked;
    };
}

}  // namespace lampflight::bench
